"""Exercise 11.1, a stage that loses segments on purpose: its questions and broken clauses."""
