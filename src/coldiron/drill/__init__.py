"""Practice on machines with hidden faults: a machine that answers, what can be thought of it, what would be best."""
