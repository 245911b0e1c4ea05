"""Are the checks sound? Mutants of the model answers, and trivial answers, must fail."""
