"""Questions of unit 05, a module for each exercise: the public ones, and how others are drawn."""
