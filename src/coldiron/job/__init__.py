"""One job: its log, what the log says, how the machine stands, what is due and what is barred."""
