"""What the lists for a look need of a hand-in's code: its fingerprints and facts, and no code.

To take them, the code is parsed, and a stranger's code can be made so that this takes all the
memory and time there is. So it is done by a worker, which has limits (`workers/limits`), and the
one who writes the lists only compares numbers.
"""

__all__ = ["CodePrints", "code_prints", "prints_of"]

import functools
from collections.abc import Mapping
from dataclasses import dataclass, field

from course_lib.exercises.answer_source import stand_alone
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.marked import MarkedAnswer, MarkedHandIn
from instructor.grading.similarity.fingerprints import all_hashes, fingerprints
from instructor.grading.similarity.named_in_code import named_in_code
from instructor.release.workbook_files import plain_master


@dataclass(frozen=True, slots=True)
class CodePrints:
    """Fingerprints of one hand-in.

    `own` are those of all that the student wrote, each with the name of a function it is found
    in; `answers` are all hashes of each answer with what it needs, by the exercise's id, and
    `named` what its code names that no exercise asks for (`named_in_code`).
    """

    own: Mapping[int, str] = field(default_factory=dict)
    answers: Mapping[str, frozenset[int]] = field(default_factory=dict)
    named: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


def code_prints(hand_in: HandIn, marked: MarkedHandIn) -> CodePrints:
    """Take the fingerprints of a hand-in and of its answers."""
    sources = {
        one.verdict.exercise.id: _whole(hand_in, one) for one in marked.answers if one.source
    }
    named = {name: named_in_code(source) for name, source in sources.items()}
    return CodePrints(
        prints_of(hand_in),
        {name: all_hashes([source]) for name, source in sources.items()},
        {name: facts for name, facts in named.items() if facts},
    )


def prints_of(hand_in: HandIn) -> Mapping[int, str]:
    """Return the fingerprints of what a student wrote."""
    handed_out = _handed_out(hand_in.unit)
    return fingerprints(one for one in hand_in.notebook.code if one.strip() not in handed_out)


def _whole(hand_in: HandIn, answer: MarkedAnswer) -> str:
    """Return the source of an answer with all that it needs from other cells."""
    item, notebook = answer.verdict.exercise, hand_in.notebook
    alone = stand_alone(item.function, notebook.code, notebook.above(item.mark_name))
    return alone.whole if alone else answer.source


@functools.cache
def _handed_out(unit: str) -> frozenset[str]:
    """Return the code cells of the workbook as it was handed out."""
    cells = plain_master(unit).cells
    return frozenset(cell.source.strip() for cell in cells if cell.cell_type == "code")
