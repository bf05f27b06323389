"""What is read in: keys, checks, tables."""
