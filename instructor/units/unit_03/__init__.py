"""Unit 03 as the staff knows it: answers, mistakes, questions."""
