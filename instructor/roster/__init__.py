"""Who is in the class, and whose an odd id on a hand-in is. Names never leave the course folder."""
