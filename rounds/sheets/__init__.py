"""The sheets of a colony on disk: the only room that touches them."""
