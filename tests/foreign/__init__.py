"""A judge from outside: machines, people and stories that share no code, figure or belief with the program.

Only `people/adaptor*.py` knows what the program calls things. How a machine is written: README.md.
"""
