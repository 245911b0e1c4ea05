"""Compare grading in the sandbox with stock `nbgrader autograde`, on the same hand-ins.

    python tests/benchmarks/bench_grading.py [SAMPLE [MANY]] [curve] [units] [growth]

A sample of an invented class (unit 02; answers that are right, wrong, or missing, nothing
hostile) is graded by both, each from its own copy of the course folder, and the scores must be
the same. Then copies of the sample under other ids are graded by ours, up to MANY hand-ins.

What both print per workbook: ours is the whole command, gradebook and pages included, as the
difference between a large and a small class, so that what is done once per class (start, imports,
secret cases, probing the sandbox) is not in it; it is printed apart. Stock nbgrader grades one
after the other; its time is that of the sample less that of starting for none, per workbook.

With no word, all three parts are run: `curve` over X, `units` with the course's own workbooks and
what their answers take, `growth` from 10 hand-ins to MANY.

X is busy work of the processor in one answer. nbgrader does it twice, once in the workbook's
kernel and once when the check cell marks the answer; ours once, in the sandbox.
"""

import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

import nbformat
from nbgrader.api import Gradebook

from instructor.demo.invented_class import hand_in_class
from instructor.release.make import make_release
from instructor.release.workbook_files import unit_names

UNIT = "02-checksums"
FIRST = "first"
BUSY_MS = (0, 20, 80, 300, 1000)
BUSY = "import time\n_end = time.process_time() + {}\nwhile time.process_time() < _end:\n    pass\n"
ODD = ("while True", "nothing_like_this", "lambda: given", "*given)\\n", "999.0")
GRADE = "import sys; from course_lib.cli import main; sys.exit(main(sys.argv[1:]))"
MORE = 20  # times the sample, for the cost of one workbook in a large class
TITLES = (
    "{:>7}    nbgrader: wall, processor     ours: wall, processor    ratio: wall, processor"
    "   same score"
)
MOST_MS, LEAST_RATIO, LEAST_RATIO_WALL = 30, 20, 30


class Cost(NamedTuple):
    """What a command took: seconds on the wall and of the processor, and octets at its peak."""

    wall_s: float
    processor_s: float
    peak_octets: int

    def per(self, less: "Cost", count: int) -> "Cost":
        """Return the cost of one workbook, given the cost of a run with `count` fewer."""
        return Cost((self.wall_s - less.wall_s) / count,
                    (self.processor_s - less.processor_s) / count, self.peak_octets)  # fmt: skip


class Setting(NamedTuple):
    """Where a part of the benchmark happens: one unit, its course folder, and its hand-ins."""

    root: Path
    unit: str
    course: Path
    ready: Path  # a copy of the course folder that has the secret cases on record
    workbooks: Sequence[str]

    def fresh(self, texts: Sequence[str], size: int, *, ready: bool = True) -> Path:
        """Return a copy of the course folder with so many hand-ins."""
        return fresh(
            self.root, self.ready if ready else self.course, self.unit, class_of(texts, size)
        )


def main() -> None:
    """Run the parts that were asked for, and print what they found."""
    numbers = [int(word) for word in sys.argv[1:] if word.isdigit()]
    sample, many = (*numbers, *(5, 1000)[len(numbers) :])
    parts = {word for word in sys.argv[1:] if not word.isdigit()} or {"curve", "units", "growth"}
    with tempfile.TemporaryDirectory() as folder:
        print(f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}")
        here = setting(Path(folder), UNIT, sample)
        if "curve" in parts:
            print_curve(here)
        if "units" in parts:
            print_units(Path(folder), sample)
        if "growth" in parts:
            print_growth(here, many)


def setting(root: Path, unit: str, sample: int) -> Setting:
    """Release a unit, draw honest hand-ins, and work out its secret cases."""
    course = make_release(root / unit, [unit], seed="bench").course
    workbooks = honest_workbooks(course, root / f"drawn-{unit}", unit, sample)
    ready = fresh(root, course, unit, {FIRST: workbooks[0]})
    once = grade(ready)
    shutil.rmtree(ready / "submitted")
    print(
        f"{unit}: {len(workbooks)} hand-ins of an invented class; "
        f"the first of all takes {once.wall_s:.1f} s, secret cases and all"
    )
    return Setting(root, unit, course, ready, workbooks)


def print_curve(here: Setting) -> None:
    """Print both per workbook for each X, and their ratios."""
    print(TITLES.format("X"))
    for busy_ms in BUSY_MS:
        print_both(
            here, f"{busy_ms} ms", [with_busy_work(text, busy_ms / 1000) for text in here.workbooks]
        )
    print(
        f"wanted: {LEAST_RATIO} in processor time up to 80 ms, {LEAST_RATIO_WALL} on the wall "
        f"(two quiet cores), at most {MOST_MS} ms at X = 0; all scores the same"
    )


def print_units(root: Path, sample: int) -> None:
    """Print both per workbook for each unit, with what its answers take and nothing put in."""
    settings = [setting(root / "units", unit, sample) for unit in unit_names()]
    print(TITLES.format("unit"))
    for one in settings:
        print_both(one, one.unit[:2], one.workbooks)


def print_both(here: Setting, title: str, texts: Sequence[str]) -> None:
    """Grade the texts with both, and print a line: what it took, and how many scores are alike.

    Stock nbgrader knows the workbook's own cases alone. So an answer that is wrong only in
    secret ones gets more points from it.
    """
    few = len(texts)
    theirs = here.fresh(texts, few, ready=False)
    them = stock(theirs, here.unit).per(stock(here.fresh([], 0, ready=False), here.unit), few)
    ours = here.fresh(texts, few)
    small = grade(ours)
    their_scores, our_scores = scores(theirs, here.unit), scores(ours, here.unit)
    alike = sum(our_scores[student] == points for student, points in their_scores.items())
    assert all(our_scores[student] <= points for student, points in their_scores.items())
    larger = here.fresh(texts, MORE * few)
    us = grade(larger).per(small, (MORE - 1) * few)
    print(
        f"{title:>7}    {them.wall_s:>8.2f} s {them.processor_s:>8.2f} s   "
        f"{us.wall_s * 1e3:>8.1f} ms {us.processor_s * 1e3:>8.1f} ms     "
        f"{them.wall_s / us.wall_s:>8.1f} {them.processor_s / us.processor_s:>8.1f}   "
        f"{alike} of {few}",
        flush=True,
    )
    for done in (theirs, ours, larger):
        shutil.rmtree(done.parent)


def print_growth(here: Setting, many: int) -> None:
    """Print what a workbook costs, and the peak of memory, as the class grows."""
    before = grade(here.fresh(here.workbooks, 1))
    print(
        f"one hand-in: {before.wall_s:.1f} s, {before.processor_s:.1f} s of the processor, "
        f"peak {before.peak_octets / 2**20:.0f} MiB"
    )
    size = 10
    while size <= many:
        ours = here.fresh(here.workbooks, size)
        cost = grade(ours)
        one = cost.per(before, size - 1)
        print(f"{size:>6} hand-ins: {one.wall_s * 1e3:>7.1f} ms, "
              f"{one.processor_s * 1e3:>7.1f} ms of the processor each; "
              f"peak {cost.peak_octets / 2**20:.0f} MiB", flush=True)  # fmt: skip
        shutil.rmtree(ours.parent)
        size *= 10


def honest_workbooks(course: Path, folder: Path, unit: str, count: int) -> list[str]:
    """Draw hand-ins without endless loops, damage or objects that are no plain data."""
    hand_in_class(course, folder, [unit], seed=1)
    texts = [path.read_text(encoding="utf-8") for path in sorted(folder.rglob("*.ipynb"))]
    kept = [text for text in texts if text.endswith(("}", "}\n")) and not any_odd(text, unit)]
    assert len(kept) >= count, f"only {len(kept)} honest hand-ins"
    return kept[:count]


def any_odd(text: str, unit: str) -> bool:
    """Tell whether a hand-in is one that the two may score differently, or that never ends."""
    cells = json.loads(text)["cells"]
    names = [cell["metadata"].get("nbgrader", {}).get("grade_id", cell["id"]) for cell in cells]
    damaged = len(set(names)) < len(names) or f"answer-{int(unit[:2])}-2" not in names
    return damaged or any(word in text for word in ODD)


def with_busy_work(text: str, seconds: float) -> str:
    """Put busy work in front of the first answer of a workbook."""
    workbook = nbformat.reads(text, as_version=4)
    for cell in workbook.cells:
        if cell.metadata.get("nbgrader", {}).get("grade_id") == "answer-2-1" and seconds:
            cell.source = BUSY.format(seconds) + cell.source
    return str(nbformat.writes(workbook))


def class_of(texts: Sequence[str], size: int) -> dict[str, str]:
    """Return so many hand-ins by student: the texts over and over, no two cells quite the same."""
    students = {f"s{number:05}": texts[number % len(texts)] for number in range(size)}
    return {student: signed(text, student) for student, text in students.items()}


def signed(text: str, student: str) -> str:
    """Put a comment into each answer, so that nothing kept from one hand-in helps with another."""
    workbook = json.loads(text)
    for cell in workbook["cells"]:
        if cell["metadata"].get("nbgrader", {}).get("grade_id", "").startswith("answer-"):
            cell["source"] = f"# {student}\n{''.join(cell['source'])}"
    return json.dumps(workbook)


def fresh(root: Path, course: Path, unit: str, hand_ins: Mapping[str, str]) -> Path:
    """Return a copy of the course folder with these hand-ins."""
    copy = Path(tempfile.mkdtemp(dir=root)) / "course"
    shutil.copytree(course, copy)
    for student, text in hand_ins.items():
        place = copy / "submitted" / student / unit
        place.mkdir(parents=True)
        (place / f"{unit}.ipynb").write_text(text, encoding="utf-8")
    return copy


def stock(course: Path, unit: str) -> Cost:
    """Autograde with nbgrader."""
    path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
    environment = {"HOME": str(course), "NBGRADER_COURSE_DIR": str(course), "PATH": path}
    some = any((course / "submitted").glob("*")) if (course / "submitted").exists() else False
    command = ["-m", "nbgrader", *(["autograde", unit, "--create"] if some else ["--version"])]
    return cost_of([sys.executable, *command], course, environment)


def grade(course: Path) -> Cost:
    """Grade with ours, in the sandbox."""
    (course / "submitted").mkdir(exist_ok=True)
    return cost_of([sys.executable, "-c", GRADE, "grade", str(course)], course, {})


def cost_of(command: Sequence[str], folder: Path, environment: dict[str, str]) -> Cost:
    """Run a command; return what it and all that it started took."""
    start = time.perf_counter()
    log = folder.parent / "log"
    with log.open("wb") as said:
        running = subprocess.Popen(
            command, cwd=folder, env={**os.environ, **environment}, stdout=said, stderr=said
        )
        _, status, usage = os.wait4(running.pid, 0)
    assert status == 0, log.read_text()[-3000:]
    wall_s = time.perf_counter() - start
    # bubblewrap does not wait for what it started, so the kernel does not add that up for us.
    inside = re.findall(r"Processor time in the sandbox: ([0-9.]+) s", log.read_text())
    processor_s = usage.ru_utime + usage.ru_stime + sum(map(float, inside))
    return Cost(wall_s, processor_s, usage.ru_maxrss * 1024)


def scores(course: Path, unit: str) -> dict[str, float]:
    """Return what the gradebook of a course folder says."""
    with Gradebook(f"sqlite:///{course / 'gradebook.db'}") as book:
        all_scores = {one.student.id: one.score for one in book.assignment_submissions(unit)}
    return {student: score for student, score in all_scores.items() if student != FIRST}


if __name__ == "__main__":
    main()
