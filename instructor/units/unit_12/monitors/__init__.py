"""Exercise 12.3, a monitor: its answers, questions and broken clauses."""
