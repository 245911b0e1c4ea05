"""Questions of unit 07, a module for each exercise: public ones, and secret ones for a seed."""
