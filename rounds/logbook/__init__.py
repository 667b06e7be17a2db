"""What was seen: entries, their rows, and the sheets they are written on."""
