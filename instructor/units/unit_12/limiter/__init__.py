"""Exercise 12.5, a limiter with many buckets: its questions, its clauses, other right answers."""
