"""Model answers, and other right answers: one pair of modules per unit."""
