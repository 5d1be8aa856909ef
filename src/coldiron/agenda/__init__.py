"""What comes next: the opening, the search, the repair, its proof, the hand-back."""
