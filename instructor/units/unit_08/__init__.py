"""Unit 08 as the staff knows it: answers, mistakes, questions."""
