"""What a grader does next: what was written where, and the commands to type, in their order."""

__all__ = ["next_steps", "written"]

import shutil
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from course_lib.commands.terminal_words import this_command, to_type
from instructor.release.gradebook_tools import shown_url

if TYPE_CHECKING:
    from instructor.class_run.class_results import Graded

FORMGRADER = "http://localhost:8888/formgrader"  # at Jupyter's usual port
WRITTEN = (
    ("summary.html", "what is left for a person"),
    ("scores.csv", "a row for each exercise of each hand-in"),
    ("upload.csv", "points, for an upload page"),
    ("feedback", "a page for each student, for that one alone"),
    ("report/report.html", "what the class did not understand"),
    ("report/statistics.html", "how the exercises did, without names"),
)


def written(graded: "Graded") -> str:
    """Say what was written, and where."""
    rows = "\n".join(f"    {name:<24}{what}" for name, what in WRITTEN)
    return f"Written to {graded.page.parent}:\n{rows}"


def next_steps(graded: "Graded", typed: Sequence[str], gradebook: str = "") -> str:
    """Say what is to be done now; `typed` are the words after `hopbyhop`, to be typed again.

    `gradebook` is the address of another one than the course folder names.
    """
    steps = list(_steps(graded, typed, gradebook))
    if len(steps) == 1:
        return f"Next: {steps[0]}"
    return "\n".join(["Next:", *(f"{place}. {step}" for place, step in enumerate(steps, 1))])


def _steps(graded: "Graded", typed: Sequence[str], gradebook: str) -> Iterator[str]:
    yield f"Read what is left for you: {graded.page}"
    to_mend = bool(graded.result.not_graded)
    cells = [cell for one in graded.summary.totals for cell in one.waiting]
    by_hand = any(cell.startswith("mark-") for cell in cells)
    in_words = not all(cell.startswith("mark-") for cell in cells)
    if to_mend:
        yield "Get what could not be graded from those who sent it, and put it beside the rest."
    if in_words:
        more = ("--gradebook", "URL") if gradebook else ()
        words = to_type(this_command(), "mark-words", graded.course, *more)
        yield f"Mark the answers in words, without names:\n{words}"
    if by_hand:
        yield _mark_by_hand(graded.course, gradebook)
    if to_mend or by_hand or in_words:
        again = to_type(this_command(), *_without_again(typed))
        yield f"Then type this once more, so that points and pages are whole:\n{again}"
    yield f"Give each student the page with their id: {graded.pages}"


def _mark_by_hand(course: Path, gradebook: str) -> str:
    if gradebook:
        return f"Mark by hand what waits in the gradebook {shown_url(gradebook)}."
    jupyter = Path(sys.executable).with_name("jupyter")
    found = shutil.which("jupyter")
    program = "jupyter" if found and Path(found) == jupyter else jupyter
    return (
        f"Mark by hand what waits: in another terminal type the next line, then open {FORMGRADER}\n"
        + to_type("cd", course, "&&", program, "lab")
    )


def _without_again(typed: Sequence[str]) -> Iterator[str]:
    """Leave out `--again` and its students: once is enough."""
    skipping = False
    for word in typed:
        skipping = word == "--again" or (skipping and not word.startswith("-"))
        if not skipping:
            yield word
