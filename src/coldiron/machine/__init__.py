"""What is said of a machine: its circuit, what it does, what it is to show, its trouble codes."""
