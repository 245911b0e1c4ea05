"""Thirty invented students, known by plant names, and what they hand in.

Everything is a fixed function of a seed. Each answer is right (in one of several
ways), shows a misconception, or is missing; a few files are broken on purpose.
What was planted is returned, so that what the grader finds can be compared.
"""

__all__ = ["NAMES", "Planted", "hand_in_class", "popular", "write_hand_in"]

import copy
import json
import os
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import nbformat
from nbformat import NotebookNode

from instructor.release.course_folder import named_course
from instructor.release.personal_codes import code_of
from instructor.release.workbook_files import (
    grade_name,
    is_marked_by_hand,
    with_answers,
)
from instructor.units.items import Item, source_of, unit_items

NAMES = (
    "alder", "bracken", "clover", "dill", "elder", "fennel", "gorse", "hazel", "iris",
    "ivy", "kelp", "larch", "mallow", "nettle", "oxlip", "poplar", "quince", "rowan",
    "sorrel", "thyme", "ulmus", "vetch", "willow", "xylosma", "yarrow", "zinnia", "aspen",
    "birch", "cedar", "daisy",
)  # fmt: skip
HANDED_IN_AT = 1_767_225_600  # a fixed moment, so that files look the same every time


@dataclass(frozen=True, slots=True)
class Planted:
    """What one answer was made to be: right, a misconception by name, or something odd."""

    student: str
    unit: str
    exercise: str
    what: str
    misconception: str = ""


Breaker = Callable[[NotebookNode], str]


def hand_in_class(course: Path, folder: Path, units: Sequence[str], seed: int) -> list[Planted]:
    """Write the hand-ins of the whole class into `folder` and return what was planted.

    The first unit comes in the gradebook's layout, the others in a flat folder.
    Broken files are planted too; their answers are not in the list.
    """
    planted: list[Planted] = []
    class_seed = named_course(course).batch.seed
    for place, unit in enumerate(units):
        released = course / "release" / unit / f"{unit}.ipynb"
        workbook: NotebookNode = nbformat.read(released, as_version=4)
        broken = dict(
            zip(random.Random(f"{seed} {unit}").sample(NAMES, len(BREAKERS)), BREAKERS, strict=True)
        )
        for student in NAMES:
            rng = random.Random(f"{seed} {unit} {student}")
            answers = [_answer(rng, student, one) for one in unit_items(unit[:2])]
            filled = with_answers(
                workbook, {one.cell: one.source for one in answers if one.source is not None}
            )
            _answer_in_words(rng, filled)
            _type_code(filled, _code_typed(rng, class_seed, student))
            path = _path(folder, student, unit, flat=place > 0)
            text, kept = _break(filled, broken.get(student))
            write_hand_in(path, text)
            planted += [one.planted(unit) for one in answers if kept]
    return planted


@dataclass(frozen=True, slots=True)
class _Answer:
    student: str
    exercise: str
    cell: str
    source: str | None
    what: str
    misconception: str = ""

    def planted(self, unit: str) -> Planted:
        return Planted(self.student, unit, self.exercise, self.what, self.misconception)


def _answer(rng: random.Random, student: str, one: Item) -> _Answer:
    """Draw one answer: six in ten right, three a misconception, one missing or odd."""
    shape = one.exercise
    draw = rng.random()
    if draw < 0.6:
        function = rng.choice([one.answer, *one.others])
        source = _dressed(rng, source_of(function, shape.function))
        return _Answer(student, shape.id, shape.cell_name, source, "right")
    if draw < 0.9:
        name = popular(rng, list(one.misconceptions))
        source = _dressed(rng, source_of(one.misconceptions[name], shape.function))
        return _Answer(student, shape.id, shape.cell_name, source, "misconception", name)
    if draw < 0.95:
        return _Answer(student, shape.id, shape.cell_name, None, "no answer")
    what, source = rng.choice(ODD)
    return _Answer(student, shape.id, shape.cell_name, source.format(name=shape.function), what)


def _answer_in_words(rng: random.Random, workbook: NotebookNode) -> None:
    """Fill in the cells that a person marks, for most of the class."""
    for cell in workbook.cells:
        if is_marked_by_hand(cell) and rng.random() < 0.8:
            cell.source = rng.choice(TEXTS)
    last = [cell for cell in workbook.cells if cell.source.strip().endswith(EMPTY_LINES)]
    if last and rng.random() < 0.5:
        last[-1].source = last[-1].source.rpartition("*Write here")[0] + rng.choice(STILL_UNCLEAR)


def _code_typed(rng: random.Random, class_seed: str, student: str) -> str:
    """Return what stands as a code in a workbook: mostly the student's own."""
    draw = rng.random()
    code = code_of(class_seed, AT_ONE_MACHINE.get(student, student))
    return "" if draw < 0.1 else code[:-1] + "?" if draw < 0.15 else code.lower()


def _type_code(workbook: NotebookNode, code: str) -> None:
    for cell in workbook.cells:
        if cell.source.startswith(EMPTY_CODE):
            cell.source = cell.source.replace(EMPTY_CODE, f'my_code = "{code}"', 1)


AT_ONE_MACHINE = {"iris": "ivy"}  # of two people, one typed a code
EMPTY_CODE = 'my_code = ""'
EMPTY_LINES = ("*Write here.*", "*Write here, or leave it empty.*")
STILL_UNCLEAR = (
    "Why one length counts words and the other one octets.",
    "How does the boat know that its packet was dropped at the pier?",
    "When may I trust a length that somebody else wrote?",
    "I would like to see one more example on the board.",
    "Nothing, but it took me longer than it says.",
    "What do I do where two rules fit?",
)
TEXTS = (
    "The padding would be taken for payload, and nobody could tell how much of it there is.",
    "Whoever adds up everything again makes a damaged header look whole.",
    "I am not sure, but I think that the length is needed.",
)


def popular(rng: random.Random, names: Sequence[str]) -> str:
    """Draw a name; the first in the list are shared by many, the last by few, as in a class."""
    return rng.choices(names, [1 / (place + 1) for place in range(len(names))])[0]


ODD = (
    ("error", "def {name}(*given):\n    return given[0].nothing_like_this\n"),
    ("out of time", "def {name}(*given):\n    while True:\n        pass\n"),
    ("bad value", "def {name}(*given):\n    return lambda: given\n"),
    ("error", "def {name}(*given)\n    return 0\n"),
)


def _dressed(rng: random.Random, source: str) -> str:
    """Add what honest students leave behind: a print, a note, a warning."""
    return source + rng.choice(LEFT_BEHIND)


LEFT_BEHIND = (
    "",
    "",
    "\nprint('seems fine')\n",
    "\n# done\n",
    "\nimport warnings\nwarnings.warn('check this again')\n",
)


def _path(folder: Path, student: str, unit: str, *, flat: bool) -> Path:
    return folder / f"{student}_{unit}.ipynb" if flat else folder / student / unit / f"{unit}.ipynb"


def write_hand_in(path: Path, text: str) -> None:
    """Write a file as if it had been handed in at the fixed moment."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    os.utime(path, (HANDED_IN_AT, HANDED_IN_AT))


def _break(workbook: NotebookNode, breaker: Breaker | None) -> tuple[str, bool]:
    """Return the text of the file, and whether its answers can still be compared."""
    workbook = copy.deepcopy(workbook)
    if breaker is None:
        return nbformat.writes(workbook), True
    return breaker(workbook), breaker in HARMLESS


def _empty(workbook: NotebookNode) -> str:
    return ""


def _cut_off(workbook: NotebookNode) -> str:
    text: str = nbformat.writes(workbook)
    return text[: len(text) // 2]


def _without_cell(workbook: NotebookNode) -> str:
    workbook.cells = [cell for cell in workbook.cells if not grade_name(cell).endswith("-2")]
    return json.dumps(workbook)


def _doubled_cell(workbook: NotebookNode) -> str:
    cells = workbook.cells
    place = next(n for n, cell in enumerate(cells) if grade_name(cell).startswith("answer-"))
    twin = copy.deepcopy(cells[place])
    twin.source += "\nprint('the other version')\n"
    cells.insert(place + 1, twin)
    return json.dumps(workbook)


def _edited_checks(workbook: NotebookNode) -> str:
    for cell in workbook.cells:
        if grade_name(cell).startswith("mark-"):
            cell.source = "999.0"
    return json.dumps(workbook)


def _old_release(workbook: NotebookNode) -> str:
    workbook.metadata["hop_by_hop"]["release"] = "0123456789ab"
    return json.dumps(workbook)


HARMLESS = (_edited_checks, _old_release)  # every answer can be graded all the same
BREAKERS: tuple[Breaker, ...] = (
    _empty, _cut_off, _without_cell, _doubled_cell, _edited_checks, _old_release,
)  # fmt: skip
