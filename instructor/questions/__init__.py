"""What a class is asked before and after the course: a concept test and an exit survey."""
