"""Exercise 9.4: request, grant, accept."""
