"""How fast the program is, each figure against a floor measured in the same run. `python -m tests.benchmarks`"""
