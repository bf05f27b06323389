"""Presentation, from stored results only."""
