"""What was seen: the entry kinds, their members, and an entry as a line or in plain words. Pure."""
