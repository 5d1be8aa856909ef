"""What is put on paper: the sheet of a job for its owner and for the shop, the tag that hangs on the machine."""
