"""Stops, walks and matters as lines. Pure."""
