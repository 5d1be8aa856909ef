"""What a book must say of hazards before a job may be worked with it."""
