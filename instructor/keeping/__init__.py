"""What becomes of student records in the end: an archive of them, and their deletion."""
