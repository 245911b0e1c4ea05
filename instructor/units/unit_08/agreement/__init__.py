"""Exercise 8.6: does the measurement agree?"""
