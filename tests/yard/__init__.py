"""A second reckoner of what can hurt: people, a machine, and pages read as a person reads them.

Nothing here shares code, figures or beliefs with the program. Only `screen.py` touches it, through what a screen uses;
everything else is read from the page. What a machine stands like is kept from what a person really did to it, and what
can hurt is judged by the physics of what a page asks for, never by the rule files.
"""
