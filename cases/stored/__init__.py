"""What a results folder holds, and its words."""
