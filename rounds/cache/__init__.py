"""What was worked out from the sheets, kept for the next start: the only room that touches the cache's disk."""
