"""What a person types for a reading or a choice, made a value or a question about it."""
