"""States, increments, events, stages and fields."""
