"""Unit 04 as the staff knows it: answers, mistakes, questions."""
