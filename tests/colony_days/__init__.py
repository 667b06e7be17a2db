"""Days of a simulated colony of four desks, with every accident that can happen to its files: docs/crashes.md."""
