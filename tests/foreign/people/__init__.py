"""People who play jobs on foreign machines, and what the jobs come to; `adaptor*.py` know the program's words."""
