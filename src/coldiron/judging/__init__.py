"""The evidence of a job on a composed machine, judged."""
