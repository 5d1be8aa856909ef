"""Sentences on a job: its outcome, the reason for a question or a conclusion, trouble codes."""
