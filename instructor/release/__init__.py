"""Make what a class needs: the students' bundle and the instructor's course folder."""
