"""The one widget the round is read from, how it is coloured, and the terminal under it."""
