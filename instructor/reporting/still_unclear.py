"""What students wrote under "What is still unclear?", the last question of each workbook.

The answer has no name in the gradebook and no points. It is what stands under the workbook's last
heading and was not handed out with it, wherever in that part it was typed.
"""

__all__ = ["HEADING", "Unclear", "answers_of_class", "words_below"]

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.intake.notebook_reader import Cell
from instructor.release.workbook_files import plain_master

HEADING = "## Before you go"
LONGEST = 200  # characters of an answer that are shown
SHORTEST = 4  # letters; "ok" and "-" ask nothing


class Unclear(NamedTuple):
    """One thing that is still unclear after a unit, and who wrote it in just these words."""

    unit: str
    text: str
    who: tuple[str, ...]


def answers_of_class(hand_ins: Iterable[HandIn]) -> tuple[Unclear, ...]:
    """Return all answers, by unit; in a unit what most wrote first, then the longer one."""
    handed_out: dict[str, frozenset[str]] = {}
    found: dict[tuple[str, str], tuple[str, list[str]]] = {}
    for one in hand_ins:
        if one.unit not in handed_out:
            handed_out[one.unit] = _lines(cell.source for cell in plain_master(one.unit).cells)
        text = words_below(one.notebook.cells, handed_out[one.unit])
        if sum(map(str.isalpha, text)) >= SHORTEST:
            found.setdefault((one.unit, text.casefold()), (text, []))[1].append(one.student)
    answers = [Unclear(unit, text, tuple(sorted(who))) for (unit, _), (text, who) in found.items()]
    return tuple(sorted(answers, key=lambda one: (one.unit, -len(one.who), -len(one.text))))


def words_below(cells: Sequence[Cell], handed_out: frozenset[str]) -> str:
    """Return what was written below the heading and is not in the lines handed out; '' if nothing.

    What stands between asterisks there, as "write here", goes even if something was typed behind.
    """
    words: list[str] = []
    is_below = False
    for cell in cells:
        if cell.kind != "markdown":
            is_below = False
            continue
        for line in map(str.strip, cell.source.splitlines()):
            if line == HEADING:
                is_below = True
            elif is_below and line not in handed_out:
                words.append(_without_hint(line, handed_out))
    text = " ".join(" ".join(words).split())
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 1]}…"


def _without_hint(line: str, handed_out: frozenset[str]) -> str:
    for hint in handed_out:
        if hint.startswith("*") and hint.endswith("*") and hint in line:
            return line.replace(hint, "")
    return line


def _lines(sources: Iterable[str]) -> frozenset[str]:
    lines = (line.strip() for source in sources for line in source.splitlines())
    return frozenset(line for line in lines if line)
