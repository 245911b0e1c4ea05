"""Everything that a gradebook says, in words that do not depend on when it was written."""

import os

from nbgrader import api

from instructor.release.gradebook_tools import open_gradebook


def dump(url):
    """Return every grade and comment by its names; the random keys of rows are left out."""
    with open_gradebook(url) as book:
        return sorted(
            [*map(_grade, book.db.query(api.Grade)), *map(_comment, book.db.query(api.Comment))]
        )


def book_of(course):
    """Return the address of a course folder's own gradebook."""
    return f"sqlite:///{course / 'gradebook.db'}"


def contents(folder, leave_out=("history.csv",)):
    """Return the octets of every file below a folder; the history has times in it."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name not in leave_out
    }


def outcome(course):
    """Return all that grading a course folder gave: gradebook, marked workbooks, results."""
    whole = {"gradebook": repr(dump(book_of(course))).encode()}
    for part in ("autograded", "results"):
        found = contents(course / part)
        whole |= {os.path.join(part, name): octets for name, octets in found.items()}  # noqa: PTH118
    return whole


def _grade(one):
    book = one.notebook
    return (
        "grade", one.student.id, one.assignment.name, one.name, repr(one.auto_score),
        repr(one.manual_score), repr(one.extra_credit), one.needs_manual_grade,
        repr(one.assignment.timestamp), repr(one.assignment.extension),
        repr(book.late_submission_penalty), repr(book.score),
    )  # fmt: skip


def _comment(one):
    return (
        "comment", one.student.id, one.assignment.name, one.name,
        repr(one.auto_comment), repr(one.manual_comment),
    )  # fmt: skip
