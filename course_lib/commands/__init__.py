"""What the commands of students do."""
