"""Power cuts under whole stories, on a file system that keeps only what it was asked to sync: docs/crashes.md."""
