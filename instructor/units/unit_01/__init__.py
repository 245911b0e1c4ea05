"""Unit 01 as the staff knows it: answers, mistakes, questions."""
