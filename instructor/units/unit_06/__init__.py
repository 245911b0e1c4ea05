"""Unit 06 as the staff knows it: answers, mistakes, questions."""
