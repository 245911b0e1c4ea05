"""Unit 02 as the staff knows it: answers, mistakes, questions."""
