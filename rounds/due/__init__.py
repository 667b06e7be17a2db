"""What needs doing: due lines, matters, and the walk."""
