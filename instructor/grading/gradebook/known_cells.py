"""The points and comments that the gradebook has of a hand-in already, read all at once."""

__all__ = ["KnownCells"]

from typing import Any


class KnownCells:
    """The points and comments of one hand-in, all read at once.

    It stands in for the gradebook where its own code would look up each cell by itself
    and commit after each: that took about half of the time in the gradebook.
    """

    def __init__(self, book: Any, submitted: Any) -> None:
        from nbgrader import api

        self.db = self
        self.grades = _by_name(book, api.Grade, submitted)
        self._book = book
        self._comments = _by_name(book, api.Comment, submitted)

    def find_grade(self, name: str, *where: str) -> Any:
        """Return the points of a cell."""
        return self.grades[name] if name in self.grades else self._book.find_grade(name, *where)

    def find_comment(self, name: str, *where: str) -> Any:
        """Return the comment on a cell."""
        known = self._comments.get(name)
        return known or self._book.find_comment(name, *where)

    def commit(self) -> None:
        """Do nothing yet: all of it is written together."""


def _by_name(book: Any, kind: Any, submitted: Any) -> dict[str, Any]:
    """Read all points or comments of one hand-in, with the cells that they belong to."""
    from sqlalchemy.orm import joinedload

    found = book.db.query(kind).options(joinedload(kind.cell))
    return {one.name: one for one in found.filter(kind.notebook_id == submitted.id)}
