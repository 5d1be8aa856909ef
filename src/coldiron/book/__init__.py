"""Records of the book by subject: what the rule files say, typed. Plain, frozen, cheap to build."""
