"""The alarm budget, measured: whole seasons that owe nothing to the rules, judged through the program's doors."""
