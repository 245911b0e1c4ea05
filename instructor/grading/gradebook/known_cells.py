"""The points and comments of one hand-in in the gradebook, read and written all at once."""

__all__ = ["HandInCells", "known_cells"]

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class HandInCells:
    """All points and comments of one hand-in, by the names of their cells."""

    grades: Mapping[str, Any]
    comments: Mapping[str, Any]


def known_cells(book: Any, submitted: Any) -> HandInCells:
    """Read what the gradebook has of a hand-in already, all at once."""
    from nbgrader import api

    return HandInCells(_by_name(book, api.Grade, submitted), _by_name(book, api.Comment, submitted))


def _by_name(book: Any, kind: Any, submitted: Any) -> dict[str, Any]:
    """Read all points or comments of one hand-in, with the cells that they belong to."""
    from sqlalchemy.orm import joinedload

    found = book.db.query(kind).options(joinedload(kind.cell))
    return {one.name: one for one in found.filter(kind.notebook_id == submitted.id)}
