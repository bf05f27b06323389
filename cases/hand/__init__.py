"""The hand calculation: mathematics only."""
