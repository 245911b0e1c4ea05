"""What a worker found in a hand-in besides its answers, as text on record.

With it, and with all answers known, a hand-in that was graded before needs no worker: nothing of it
is read again. Whatever it rests on is part of `rests_on_text`.
"""

__all__ = ["looked_from_text", "looked_text", "rests_on_text"]

import hashlib
import json
from collections.abc import Mapping, Sequence

from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.marked import MarkedAnswer, MarkedHandIn, TextAnswer
from instructor.grading.record.identity import Identity
from instructor.grading.similarity.code_prints import CodePrints
from instructor.grading.similarity.library_prints import hashes_from_text, hashes_to_text
from instructor.release.workbook_files import release_name
from instructor.source_files import source_digest

PRINTS_FROM = ("instructor/grading/similarity/*.py", "course_lib/exercises/*.py")


def rests_on_text(hand_in: HandIn, rests_on: Mapping[str, Identity]) -> str:
    """Return a digest of all that the rest of a hand-in's result rests on."""
    whole = json.dumps([
        {name: one._replace(copies="") for name, one in rests_on.items()},
        hand_in.notes, hand_in.is_earlier, release_name(hand_in.unit), source_digest(PRINTS_FROM),
    ], sort_keys=True)  # fmt: skip
    return hashlib.sha256(whole.encode("utf-8", "surrogatepass")).hexdigest()


def looked_text(marked: MarkedHandIn, prints: CodePrints) -> str:
    """Write what was found in a hand-in, without its answers."""
    return json.dumps({
        "notes": marked.notes,
        "texts": [[one.name, one.points] for one in marked.texts],
        "own": [hashes_to_text(prints.own), list(prints.own.values())],
        "answers": {name: hashes_to_text(sorted(one)) for name, one in prints.answers.items()},
        "named": dict(prints.named),
    })  # fmt: skip


def looked_from_text(
    hand_in: HandIn, answers: Sequence[MarkedAnswer], text: str
) -> tuple[MarkedHandIn, CodePrints]:
    """Return a hand-in's whole result, given its answers and what `looked_text` wrote."""
    kept = json.loads(text)
    hashes, names = kept["own"]
    texts = tuple(TextAnswer(name, points) for name, points in kept["texts"])
    marked = MarkedHandIn(
        hand_in.student, hand_in.unit, tuple(answers), tuple(kept["notes"]), texts
    )
    prints = CodePrints(
        dict(zip(hashes_from_text(hashes), names, strict=True)),
        {name: frozenset(hashes_from_text(one)) for name, one in kept["answers"].items()},
        {name: tuple(facts) for name, facts in kept["named"].items()},
    )
    return marked, prints
