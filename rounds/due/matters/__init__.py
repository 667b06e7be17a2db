"""The matters: one function a rule, the rules in tuples."""
