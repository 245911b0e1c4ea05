"""Questions of unit 03, a module for each exercise: public ones, and secret ones for a seed."""
