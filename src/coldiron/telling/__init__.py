"""What is said of a job: the verdict, why something is asked or concluded, trouble codes."""
