"""What `colletfea verify` measures: checks by subject, each with its target and where that is from."""
