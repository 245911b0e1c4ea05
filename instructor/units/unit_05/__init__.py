"""Unit 05 as the staff knows it: answers, mistakes, questions."""
