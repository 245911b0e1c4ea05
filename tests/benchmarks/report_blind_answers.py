"""How the checks fare on answers whose writers had seen no case: a line for each exercise.

    python tests/benchmarks/report_blind_answers.py [UNIT ...]

Each answer is put to `mark` and to grading with secret cases, and both are compared. Every right
answer that lost points, every wrong one that lost none, and every name that was given is listed
below the table, beside what its writer had noted: whether a name is right is for a person to say.
Grading runs in the sandbox where there is one; a unit takes one to three minutes.
"""

import sys
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "support"))

from course_lib.exercises.feedback import misconception_title
from course_lib.exercises.registry import UNITS, exercise
from course_lib.exercises.tried_answer import mark_cells
from course_lib.exercises.verdict import Verdict
from hand_ins.blind_answers import BlindAnswer, blind_answers, in_its_workbook
from instructor.grading.examiner import Examiner
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.intake.notebook_reader import Cell, Notebook
from instructor.grading.sandbox.sandbox import open_sandbox
from instructor.release.workbook_files import unit_names

COLUMNS = (
    "right", "of them passed", "wrong", "of them lost points", "named", "either-or", "silent",
    "mark differs",
)  # fmt: skip


def both(answer: BlindAnswer, examiner: Examiner) -> tuple[Verdict, Verdict]:
    """Return what `mark` says and what grading says."""
    item = exercise(answer.exercise)
    cells = in_its_workbook(answer)
    notebook = Notebook(tuple(Cell("code", *cell) for cell in cells), item.unit, "")
    sources = [source for _, source in cells]
    marked = mark_cells(item, sources, notebook.above(item.mark_name)).verdict
    graded = examiner.examine(HandIn("alder", item.unit, None, notebook))
    (verdict,) = (one.verdict for one in graded.answers if one.verdict.exercise == item)
    return marked, verdict


def main() -> None:
    """Print the table, then what is to be looked at."""
    counts: dict[str, Counter[str]] = {}
    remarks: list[str] = []
    with open_sandbox(2) as sandbox:
        for unit in sys.argv[1:] or UNITS:
            whole = next(name for name in unit_names() if name.startswith(unit))
            examiner = Examiner(whole, "blind", sandbox.launcher)
            answers = list(blind_answers(unit))
            with ThreadPoolExecutor(2) as pool:
                verdicts = list(pool.map(lambda one, by=examiner: both(one, by), answers))
            for answer, (marked, graded) in zip(answers, verdicts, strict=True):
                count = counts.setdefault(answer.exercise, Counter())
                remarks += look_at(answer, marked, graded, count)
    print("exercise", *COLUMNS, sep=" | ")
    total: Counter[str] = sum(counts.values(), Counter())
    for name, count in [*counts.items(), ("all", total)]:
        print(name, *(count[column] for column in COLUMNS), sep=" | ")
    print(*remarks, sep="\n")


def look_at(
    answer: BlindAnswer, marked: Verdict, graded: Verdict, count: Counter[str]
) -> list[str]:
    """Count one answer, and return what a person should look at."""
    where = f"{answer.exercise} {answer.name}"
    full = graded.points == graded.exercise.points
    remarks = []
    if answer.kind == "right":
        count.update({"right": 1, "of them passed": full})
        if not full:
            remarks.append(f"{where} is right, and lost points: {answer.slip}")
    if answer.kind == "wrong":
        silent = not full and not graded.misconception and not graded.either
        count.update({"wrong": 1, "of them lost points": not full, "silent": silent})
        count.update({"named": bool(graded.misconception), "either-or": bool(graded.either)})
        if full:
            remarks.append(f"{where} is wrong, and lost nothing: {answer.slip}")
        for name in filter(None, (graded.misconception, *graded.either)):
            words = misconception_title(answer.exercise, name)
            remarks.append(f"{where} was named “{words}”: {answer.slip}")
    differs = full != (marked.points == marked.exercise.points)
    count["mark differs"] += differs
    if differs:
        points = f"mark gave {marked.points}, grading {graded.points}"
        remarks.append(f"{where}: {points}: {answer.slip}")
    return remarks


if __name__ == "__main__":
    main()
