"""What to check next, and when the evidence is enough for a verdict."""
