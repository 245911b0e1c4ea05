"""Exercise 12.2, a filter with a memory: its answers, questions and broken clauses."""
