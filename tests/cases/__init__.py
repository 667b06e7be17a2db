"""Each fault that an attack from outside found, as a case that shows it: `python -m tests.cases`.

The cases share nothing with the other tests and import nothing of `rounds`: they drive a program by its command
line, a pseudo-terminal, files and signals, each in a home of its own, and count what became of it.
"""
