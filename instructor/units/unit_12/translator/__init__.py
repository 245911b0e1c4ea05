"""Exercise 12.4, address translation: its questions, its clauses, other right answers."""
