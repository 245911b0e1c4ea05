"""The contracts of unit 07, a module for each exercise, clause by clause."""
