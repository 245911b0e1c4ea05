"""The units of the course as a planner sees them: what each needs, and the blocks it is taught in.

A block is never split by a break. It is at most one stretch of listening, and hands-on work that
follows at once: so wherever blocks are put, nobody listens for longer than a stretch.
"""

__all__ = ["Block", "Piece", "TeachingUnit", "UnitFactsError", "all_units", "unit_from"]

import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from course_lib.commands.unit_order import UnitOrderError, units_in_order

LISTENING, HANDS_ON, UNATTENDED = "listening", "hands-on", "unattended"
TRY_IT_MIN = 10  # at the figure, after a unit was only shown: our own choice
LONGEST_TALK_MIN = 20  # common practice, no published source
FIVE = 5


class UnitFactsError(ValueError):
    """A `unit.toml` does not say what planning needs; the text names file and field."""


class Piece(NamedTuple):
    """One thing that is done without a pause: what, how (`kind`), and for how many minutes."""

    name: str
    kind: str
    minutes: int


class Block(NamedTuple):
    """Pieces of one unit that stay together. `place` counts the unit's blocks from 0."""

    unit: str
    place: int
    pieces: tuple[Piece, ...]

    @property
    def begins_listening(self) -> bool:
        """Whether people listen when it begins."""
        return self.pieces[0].kind == LISTENING

    def minutes(self, turns: int = 1) -> int:
        """Return how long it takes if hands-on work is done in so many turns."""
        return sum(
            piece.minutes * (turns if piece.kind == HANDS_ON else 1)
            for piece in self.pieces
            if piece.kind != UNATTENDED
        )

    @property
    def unattended_min(self) -> int:
        """How long something runs by itself when the block has ended; 0 for nothing."""
        return sum(piece.minutes for piece in self.pieces if piece.kind == UNATTENDED)


class TeachingUnit(NamedTuple):
    """A unit: `blocks` if it is taught, the one block `shown` if it is only demonstrated.

    Whoever teaches it in part leaves out blocks from the end.
    """

    name: str
    title: str
    needs: tuple[str, ...]
    blocks: tuple[Block, ...]
    shown: Block

    @property
    def number(self) -> str:
        """The first word of its name.

        >>> unit_from("04-x", {"title": "X", "prerequisites": [], "minutes": {"talk": 20,
        ...     "demo": 0, "exercises": 30}, "parts": [{"exercise": "4.1", "minutes": 30}]}).number
        '04'
        """
        return self.name.partition("-")[0]


def all_units(folder: Path) -> tuple[TeachingUnit, ...]:
    """Read the `unit.toml` of each unit that is taught, in the order of the course."""
    try:
        names = units_in_order(folder)
    except UnitOrderError as problem:
        raise UnitFactsError(str(problem)) from problem
    if not names:
        raise UnitFactsError(f"{folder} holds no unit: no folder in it has a unit.toml.")
    return tuple(_read(folder / name / "unit.toml") for name in names)


def unit_from(name: str, facts: Mapping[str, Any]) -> TeachingUnit:
    """Return a unit by what its `unit.toml` says; raises `UnitFactsError`.

    Before the first part people hear the talk, before the second one they see the demonstration.
    A talk of more than 20 minutes is cut into even pieces, each before a part of its own.
    """
    minutes = _table(facts, "minutes")
    parts = _parts(facts, _whole(minutes, "exercises", 1))
    talk_min, demo_min = _whole(minutes, "talk"), _whole(minutes, "demo")
    talks = [
        Piece(what, LISTENING, long)
        for what, whole in (("talk", talk_min), ("demonstration", demo_min))
        for long in _even(whole, LONGEST_TALK_MIN)
    ]
    if any(0 < whole < FIVE for whole in (talk_min, demo_min)):
        raise UnitFactsError(f"{name}: talk and demo take {FIVE} minutes each at least, or none.")
    if len(talks) > len(parts):
        raise UnitFactsError(
            f"{name}: talk and demonstration make {len(talks)} pieces, but there are only "
            f"{len(parts)} parts with work at the machine to put between them."
        )
    blocks = [
        Block(name, place, (*talks[place : place + 1], part)) for place, part in enumerate(parts)
    ]
    blocks = _in_fives(blocks)
    if unattended := _whole(minutes, "unattended"):
        run = Piece("a run that needs nobody", UNATTENDED, unattended)
        blocks[-1] = blocks[-1]._replace(pieces=(*blocks[-1].pieces, run))
    listened = min(talk_min + demo_min, LONGEST_TALK_MIN)
    shown = (
        Piece("shown", LISTENING, max(listened, 1)),
        Piece("at the figure", HANDS_ON, TRY_IT_MIN),
    )
    return TeachingUnit(
        name, str(facts.get("title", name)), tuple(facts.get("prerequisites", ())),
        tuple(blocks), Block(name, 0, shown),
    )  # fmt: skip


def _read(path: Path) -> TeachingUnit:
    try:
        return unit_from(path.parent.name, tomllib.loads(path.read_text(encoding="utf-8")))
    except (tomllib.TOMLDecodeError, UnitFactsError) as problem:
        raise UnitFactsError(f"{path}: {problem}") from problem


def _in_fives(blocks: list[Block]) -> list[Block]:
    """Let pieces end at multiples of five minutes from the unit's beginning, none before its time.

    So times can be read from a clock on the wall, and a unit grows by less than five minutes.
    """
    exact = rounded = 0
    found = []
    for block in blocks:
        pieces = []
        for piece in block.pieces:
            exact += piece.minutes
            ends = -(-exact // FIVE) * FIVE
            pieces.append(piece._replace(minutes=ends - rounded))
            rounded = ends
        found.append(block._replace(pieces=tuple(pieces)))
    return found


def _parts(facts: Mapping[str, Any], all_min: int) -> list[Piece]:
    """Return the parts with work at the machine; what is left of the time is the last one."""
    pieces = []
    for part in facts.get("parts", ()):
        pieces.append(
            Piece(f"exercise {part['exercise']}", HANDS_ON, _whole(part, "minutes", FIVE))
        )
    left = all_min - sum(piece.minutes for piece in pieces)
    if left < 0:
        raise UnitFactsError(
            f"the parts take {all_min - left} minutes, [minutes] gives exercises {all_min}."
        )
    if 0 < left < FIVE and pieces:
        pieces[-1] = pieces[-1]._replace(minutes=pieces[-1].minutes + left)
    elif left:
        pieces.append(Piece("measure and discuss", HANDS_ON, left))
    return pieces


def _even(minutes: int, most: int) -> Iterator[int]:
    """Cut minutes into as few pieces as there can be, the longer ones first.

    >>> list(_even(45, 20)), list(_even(0, 20))
    ([15, 15, 15], [])
    """
    pieces = -(-minutes // most)
    for place in range(pieces):
        yield minutes // pieces + (place < minutes % pieces)


def _table(facts: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    found = facts.get(name)
    if not isinstance(found, Mapping):
        raise UnitFactsError(f"there is no table [{name}].")
    return found


def _whole(table: Mapping[str, Any], name: str, least: int = 0) -> int:
    value = table.get(name, 0)
    if isinstance(value, bool) or not isinstance(value, int) or value < least:
        raise UnitFactsError(f"{name} = {value!r} is no number of minutes, {least} or more.")
    return value
