"""The two pages for marking: what there is to read, and one answer with its rubric beside it."""

__all__ = ["answer_page", "choices", "common_style", "overview"]

import functools
from collections.abc import Sequence
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined, Template

from instructor.marking.reading import Entry, Reading
from instructor.output.pages import COMMON, count, number, percent, unit_heading, with_code
from instructor.output.text import visible

STEP = 0.5  # points
TEMPLATES = Path(__file__).parent / "screens"


def overview(reading: Reading) -> str:
    """Return the page from which a marker begins."""
    page: str = _template("overview.html").render(rows=reading.rows(), marker=reading.marker)
    return page


def answer_page(
    reading: Reading, entries: Sequence[Entry], place: int, token: str, problem: str = ""
) -> str:
    """Return the page with one text; `place` counts from 1, and `problem` is what was wrong."""
    entry = entries[place - 1]
    page: str = _template("answer.html").render(
        entry=entry,
        question=entry.question,
        place=place,
        last=len(entries),
        own=reading.own(entry),
        others=reading.others(entry),
        differs=reading.differs(entry) and bool(reading.others(entry)),
        choices=choices(entry.question.of),
        token=token,
        problem=problem,
    )
    return page


def choices(of: float) -> tuple[float, ...]:
    """Return the points that may be given: none to all, by halves."""
    return tuple(STEP * steps for steps in range(int(of / STEP) + 1))


def common_style() -> str:
    """Return the style that all pages of the course have."""
    return (COMMON / "page.css").read_text(encoding="utf-8")


@functools.cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES), autoescape=True, undefined=StrictUndefined,
        finalize=_shown, trim_blocks=True, lstrip_blocks=True,
    )  # fmt: skip
    environment.filters.update(
        count=count, number=number, percent=percent, unit_heading=unit_heading, with_code=with_code
    )
    return environment


def _template(name: str) -> Template:
    return _environment().get_template(name)


def _shown(value: object) -> object:
    """Write out characters that cannot be seen, in whatever came from strangers."""
    return visible(value) if type(value) is str else value
