"""Exercise 8.4, deficit round robin: its questions and broken clauses."""
