"""Unit 09 as the staff knows it: answers, mistakes, questions."""
