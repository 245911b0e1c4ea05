"""Unit 10 as the staff knows it: answers, mistakes, questions."""
