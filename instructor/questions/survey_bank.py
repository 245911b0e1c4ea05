"""What the exit survey asks: statements on a scale of five, and questions for words."""

__all__ = ["USABILITY", "FreeQuestion", "Statement", "Survey", "survey"]

import functools
import tomllib
from pathlib import Path
from typing import NamedTuple

BANK = Path(__file__).parent / "survey_questions.toml"
USABILITY = "usability"  # the part that is scored as a whole


class Statement(NamedTuple):
    """One statement; `id` is its part and its number there, from 1 on."""

    id: str
    part: str
    text: str


class FreeQuestion(NamedTuple):
    """A question that is answered in words."""

    id: str
    asks: str


class Survey(NamedTuple):
    """The whole survey; `scale` names the levels from 1 on, `titles` are those of the parts."""

    scale: tuple[str, ...]
    titles: dict[str, str]
    statements: tuple[Statement, ...]
    free: tuple[FreeQuestion, ...]


@functools.cache
def survey() -> Survey:
    """Read the survey."""
    read = tomllib.loads(BANK.read_text(encoding="utf-8"))
    statements = tuple(
        Statement(f"{part['id']}-{number}", part["id"], text)
        for part in read["part"]
        for number, text in enumerate(part["statements"], 1)
    )
    return Survey(
        scale=tuple(read["scale"]),
        titles={part["id"]: part["title"] for part in read["part"]},
        statements=statements,
        free=tuple(FreeQuestion(one["id"], one["asks"]) for one in read["free"]),
    )
