"""The cards of the shop's machines: one text file each in the user's folder, read beside a book."""
