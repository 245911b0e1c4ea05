"""Exercise 12.6, a protocol that is not IP: its questions, its clauses, other right answers."""
