"""What only the teaching staff has: answers, grading, planning, reporting."""
