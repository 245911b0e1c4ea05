"""Unit 11 as the staff knows it: answers, mistakes, questions."""
