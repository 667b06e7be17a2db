"""Stops, walks and matters as lines: from values to lines, nothing else."""
