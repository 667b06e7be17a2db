"""The plain commands, one module each: `run(call)` does it and gives the exit code."""
