"""Hand-ins that are alike, for a look."""
