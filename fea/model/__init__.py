"""What is held, driven and loaded, and whether it balances."""
