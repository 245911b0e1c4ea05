"""Live figures for workbooks: controls on top of the plain functions of `course_lib.figures`.

Nothing that is graded depends on a control; under every live figure the same stands as text.
"""
