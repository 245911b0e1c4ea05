"""Compare grading in the sandbox with stock `nbgrader autograde`, on the same hand-ins.

    python tests/benchmarks/bench_grading.py [SAMPLE [MANY]]

A sample of an invented class (unit 02; answers that are right, wrong, or missing, nothing
hostile) is graded by both, each from its own copy of the course folder, and the scores must be
the same. Then copies of the sample under other ids are graded by ours, up to MANY hand-ins.

What both print per workbook: ours is the whole command, gradebook and pages included, as the
difference between a large and a small class, so that what is done once per class (start, imports,
secret cases, probing the sandbox) is not in it; it is printed apart. Stock nbgrader grades one
after the other; its time is that of the sample less that of starting for none, per workbook.

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
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

import nbformat
from nbgrader.api import Gradebook

from instructor.demo.invented_class import hand_in_class
from instructor.release.make import make_release

UNIT = "02-checksums"
FIRST = "first"
BUSY_MS = (0, 20, 80, 300, 1000)
BUSY = "import time\n_end = time.process_time() + {}\nwhile time.process_time() < _end:\n    pass\n"
ODD = ("while True", "nothing_like_this", "lambda: given", "*given)\\n", "999.0")
GRADE = "import sys; from course_lib.cli import main; sys.exit(main(sys.argv[1:]))"
MORE = 20  # times the sample, for the cost of one workbook in a large class
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


def main() -> None:
    """Run all comparisons and print them."""
    sample, many = [int(word) for word in (*sys.argv[1:], "5", "1000")[:2]]
    if len(sys.argv) == 2:
        many = 1000
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        course = make_release(root / "class", [UNIT], seed="bench").course
        workbooks = honest_workbooks(course, root / "drawn", sample)
        print(f"{UNIT}, {len(workbooks)} hand-ins of an invented class, {os.cpu_count()} cores, "
              f"load {os.getloadavg()[0]:.1f}")  # fmt: skip
        once = grade(fresh(root, course, class_of(workbooks, 1)))
        print(f"the first of a class, secret cases and all: {once.wall_s:.1f} s")
        ready = with_cases(root, course, workbooks[0])
        print_curve(root, course, ready, workbooks)
        print_growth(root, ready, workbooks, many)


def print_curve(root: Path, course: Path, ready: Path, workbooks: Sequence[str]) -> None:
    """Print both per workbook for each X, and their ratios."""
    print(
        "      X    nbgrader: wall, processor     ours: wall, processor    ratio: wall, processor"
    )
    few = len(workbooks)
    none = stock(fresh(root, course, {}))
    for busy_ms in BUSY_MS:
        texts = [with_busy_work(text, busy_ms / 1000) for text in workbooks]
        theirs = fresh(root, course, class_of(texts, few))
        them = stock(theirs).per(none, few)
        ours = fresh(root, ready, class_of(texts, few))
        small = grade(ours)
        assert scores(theirs) == scores(ours), (scores(theirs), scores(ours))
        larger = fresh(root, ready, class_of(texts, MORE * few))
        us = grade(larger).per(small, (MORE - 1) * few)
        print(f"{busy_ms:>5} ms    {them.wall_s:>8.2f} s {them.processor_s:>8.2f} s   "
              f"{us.wall_s * 1e3:>8.1f} ms {us.processor_s * 1e3:>8.1f} ms     "
              f"{them.wall_s / us.wall_s:>8.1f} {them.processor_s / us.processor_s:>8.1f}",
              flush=True)  # fmt: skip
        for done in (theirs, ours, larger):
            shutil.rmtree(done.parent)
    print(f"wanted: {LEAST_RATIO} in processor time up to 80 ms, {LEAST_RATIO_WALL} on the wall "
          f"(two quiet cores), at most {MOST_MS} ms at X = 0; same scores")  # fmt: skip


def print_growth(root: Path, course: Path, workbooks: Sequence[str], many: int) -> None:
    """Print what a workbook costs, and the peak of memory, as the class grows."""
    before = grade(fresh(root, course, {}))
    print(f"once per run: {before.wall_s:.1f} s, {before.processor_s:.1f} s of the processor")
    size = 10
    while size <= many:
        ours = fresh(root, course, class_of(workbooks, size))
        cost = grade(ours)
        one = cost.per(before, size)
        print(f"{size:>6} hand-ins: {one.wall_s * 1e3:>7.1f} ms, "
              f"{one.processor_s * 1e3:>7.1f} ms of the processor each; "
              f"peak {cost.peak_octets / 2**20:.0f} MiB", flush=True)  # fmt: skip
        shutil.rmtree(ours.parent)
        size *= 10


def honest_workbooks(course: Path, folder: Path, count: int) -> list[str]:
    """Draw hand-ins without endless loops, damage or objects that are no plain data."""
    hand_in_class(course, folder, [UNIT], seed=1)
    texts = [path.read_text(encoding="utf-8") for path in sorted(folder.rglob("*.ipynb"))]
    kept = [text for text in texts if text.endswith(("}", "}\n")) and not any_odd(text)]
    assert len(kept) >= count, f"only {len(kept)} honest hand-ins"
    return kept[:count]


def any_odd(text: str) -> bool:
    """Tell whether a hand-in is one that the two may score differently, or that never ends."""
    cells = json.loads(text)["cells"]
    names = [cell["metadata"].get("nbgrader", {}).get("grade_id", cell["id"]) for cell in cells]
    damaged = len(set(names)) < len(names) or "answer-2-2" not in names
    return damaged or any(word in text for word in ODD)


def with_busy_work(text: str, seconds: float) -> str:
    """Put busy work in front of the first answer of a workbook."""
    workbook = nbformat.reads(text, as_version=4)
    for cell in workbook.cells:
        if cell.metadata.get("nbgrader", {}).get("grade_id") == "answer-2-1" and seconds:
            cell.source = BUSY.format(seconds) + cell.source
    return str(nbformat.writes(workbook))


def with_cases(root: Path, course: Path, text: str) -> Path:
    """Return a copy of the course folder that has the secret cases on record."""
    copy = fresh(root, course, {FIRST: text})
    grade(copy)
    shutil.rmtree(copy / "submitted" / FIRST)
    return copy


def class_of(texts: Sequence[str], size: int) -> dict[str, str]:
    """Return so many hand-ins by student, the texts over and over."""
    return {f"s{number:05}": texts[number % len(texts)] for number in range(size)}


def fresh(root: Path, course: Path, hand_ins: dict[str, str]) -> Path:
    """Return a copy of the course folder with these hand-ins and an empty record."""
    copy = Path(tempfile.mkdtemp(dir=root)) / "course"
    shutil.copytree(course, copy)
    for student, text in hand_ins.items():
        place = copy / "submitted" / student / UNIT
        place.mkdir(parents=True)
        (place / f"{UNIT}.ipynb").write_text(text, encoding="utf-8")
    return copy


def stock(course: Path) -> Cost:
    """Autograde with nbgrader."""
    path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
    environment = {"HOME": str(course), "NBGRADER_COURSE_DIR": str(course), "PATH": path}
    some = any((course / "submitted").glob("*")) if (course / "submitted").exists() else False
    command = ["-m", "nbgrader", *(["autograde", UNIT, "--create"] if some else ["--version"])]
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


def scores(course: Path) -> dict[str, float]:
    """Return what the gradebook of a course folder says."""
    with Gradebook(f"sqlite:///{course / 'gradebook.db'}") as book:
        all_scores = {one.student.id: one.score for one in book.assignment_submissions(UNIT)}
    return {student: score for student, score in all_scores.items() if student != FIRST}


if __name__ == "__main__":
    main()
