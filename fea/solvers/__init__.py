"""Newton's method, the condensed solver, and full Newton as the reference."""
