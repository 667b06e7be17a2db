"""Every reader is given inputs that a fuzzer finds by what they make the program do: docs/fuzzing.md."""
