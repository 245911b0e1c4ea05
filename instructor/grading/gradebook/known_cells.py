"""The points and comments of one hand-in as the gradebook's own code is to see them."""

__all__ = ["HandInCells", "known_cells"]

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class HandInCells:
    """All points and comments of one hand-in, by the names of their cells.

    It stands in for the gradebook where its own code would look up each cell by itself
    and commit after each: that took about half of the time in the gradebook.
    """

    book: Any
    grades: Mapping[str, Any]
    comments: Mapping[str, Any]

    @property
    def db(self) -> "HandInCells":
        """Return what is told to commit."""
        return self

    def find_grade(self, name: str, *where: str) -> Any:
        """Return the points of a cell; of one that is not known the gradebook says so."""
        return self.grades.get(name) or self.book.find_grade(name, *where)

    def find_comment(self, name: str, *where: str) -> Any:
        """Return the comment on a cell; of one that is not known the gradebook says so."""
        return self.comments.get(name) or self.book.find_comment(name, *where)

    def commit(self) -> None:
        """Do nothing yet: all of it is written together."""


def known_cells(book: Any, submitted: Any) -> HandInCells:
    """Read what the gradebook has of a hand-in already, all at once."""
    from nbgrader import api

    return HandInCells(
        book, _by_name(book, api.Grade, submitted), _by_name(book, api.Comment, submitted)
    )


def _by_name(book: Any, kind: Any, submitted: Any) -> dict[str, Any]:
    """Read all points or comments of one hand-in, with the cells that they belong to."""
    from sqlalchemy.orm import joinedload

    found = book.db.query(kind).options(joinedload(kind.cell))
    return {one.name: one for one in found.filter(kind.notebook_id == submitted.id)}
