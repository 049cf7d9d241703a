"""A table's description: its file read, filled by common practice, checked, and put in words."""
