"""`hopbyhop demo`: the whole path on an invented class, and how well it was understood."""

__all__ = ["run_demo"]

import shutil
from collections.abc import Sequence
from pathlib import Path

from rich.console import Console

from course_lib.commands.terminal_words import folded
from instructor.class_run.grade_class import grade_class
from instructor.demo.invented_class import NAMES, Planted, hand_in_class
from instructor.demo.invented_sheets import hand_in_sheets
from instructor.grading.marked import BatchResult
from instructor.output.wrong_places import WrongPlaceError, refuse_a_file
from instructor.questions.collected_sheets import collect
from instructor.questions.read_sheets import said as read_in_words
from instructor.questions.read_sheets import write_what_was_read
from instructor.release.make import make_release
from instructor.reporting.terminal import terminal_report

PARTS = ("course", "students", "handed-in")  # what a demo replaces
MARK = ".made-by-demo"


def run_demo(folder: Path, seed: int) -> int:
    """Make a release, an invented class and its hand-ins; grade and report.

    Everything is written below `folder`; what an earlier demo left there is replaced.
    Raises `WrongPlaceError` if what is there may be a real class's. Returns 1 if a planted
    misconception was not named, or named as another one.
    """
    console = Console()
    _refuse_what_no_demo_made(folder)
    folder.mkdir(parents=True, exist_ok=True)
    (folder / MARK).touch()
    for part in PARTS:
        shutil.rmtree(folder / part, ignore_errors=True)
    console.print("[bold]1. Release[/bold]: a bundle for students, a course folder for staff")
    release = make_release(folder, seed=f"demo {seed}", students=NAMES)
    console.print(f"   {release.bundle}", markup=False)
    console.print("[bold]2. An invented class[/bold] of 30 hands in")
    planted = hand_in_class(release.course, folder / "handed-in", release.batch.units, seed)
    sheets = hand_in_sheets(folder / "handed-in", NAMES, seed)
    console.print(f"   Before and after the course it was asked: {sheets} question sheets.")
    console.print("[bold]3. Grade[/bold]")
    graded = grade_class(
        folder / "handed-in", course=release.course, out=folder / "results",
        trusted=True, console=console,
    )  # fmt: skip
    console.print("[bold]4. What the class did not understand[/bold]")
    for table in terminal_report(graded.result):
        console.print(table)
    console.print("[bold]5. What the class has learnt[/bold], by its question sheets")
    collected = collect(folder / "handed-in")
    pages = write_what_was_read(graded.report.parent, collected)
    console.print(folded(read_in_words(collected, pages)), markup=False, soft_wrap=True)
    named, of, wrong = count_named(planted, graded.result)
    console.print(
        f"Misconceptions put in: {of}. Named correctly: {named}. Named as another one: {wrong}."
    )
    return 0 if named == of and not wrong else 1


def _refuse_what_no_demo_made(folder: Path) -> None:
    """Refuse to replace what may be a real class's answers, seed and gradebook."""
    refuse_a_file("FOLDER", folder)
    there = [part for part in PARTS if (folder / part).exists()]
    if there and not (folder / MARK).exists():
        raise WrongPlaceError(
            f"FOLDER {folder} holds {', '.join(there)} that no demo made, and a demo replaces "
            "them. Name a new folder."
        )


def count_named(planted: Sequence[Planted], result: BatchResult) -> tuple[int, int, int]:
    """Count misconceptions named as planted, all that were planted, and false names anywhere."""
    truth = {(one.student, one.exercise): one.misconception for one in planted}
    found = {
        (one.student, answer.verdict.exercise.id): answer.verdict.misconception
        for one in result.marked
        for answer in one.answers
    }
    wanted = {key: name for key, name in truth.items() if name}
    named = sum(found.get(key) == name for key, name in wanted.items())
    false = sum(bool(found.get(key)) and found[key] != name for key, name in truth.items())
    return named, len(wanted), false
