"""rounds: the daily round through a bearded dragon breeding room, written down once and reckoned from there."""

__version__ = "0.1.0"
