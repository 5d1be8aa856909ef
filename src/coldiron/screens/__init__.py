"""What people and scripts see of a session, and how a job is begun, kept and gone on with."""
