"""Exercise 9.5: what limits a pipeline?"""
