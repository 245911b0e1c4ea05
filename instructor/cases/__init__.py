"""The questions of each exercise: public ones with their sources, secret ones by seed."""
