"""What it takes to grade a single hand-in of a class that was graded before.

    python tests/benchmarks/bench_single_hand_in.py [CLASS ...]

For each size of the class (1 and 120 unless told otherwise) an invented class hands in unit 02
and is graded: that first run works out the secret cases, and is printed apart. Then, in each round,
one student more hands in and `hopbyhop grade` gets that one folder; and the same folder once again,
where no answer has to run. Printed are medians of the rounds: seconds on the wall, from the start
of the command to the line with the points and to its end, when tables and pages of the whole class
are written; and of the processor, with all that it started but for the sandbox.

The peer, in the same rounds, is Python starting and loading the gradebook's own code, which no
command can do without: a slow or busy machine shows there too.
"""

import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from bench_grading import GRADE, UNIT, grade, setting, signed

ROUNDS = 5
SAMPLE = 5
SIZES = (1, 120)
LOAD = "from nbgrader.api import Gradebook; print('0 points')"
POINTS = re.compile(r"\d points")
MOST_S = 3.0


class Took(NamedTuple):
    """Seconds until the first points were printed, until the end, and of the processor."""

    points_s: float
    end_s: float
    processor_s: float


def main() -> None:
    """Print the figures for each size of the class."""
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # who grades keeps what was compiled
    sizes = [int(word) for word in sys.argv[1:]] or SIZES
    with tempfile.TemporaryDirectory() as folder:
        here = setting(Path(folder), UNIT, SAMPLE)
        for size in sizes:
            course = here.fresh(here.workbooks, size, ready=False)
            print(f"a class of {size}: the first run takes {grade(course).wall_s:.1f} s")
            print_rounds(Path(folder), course, here.workbooks)
    print(f"wanted: points after less than {MOST_S:g} s, on a machine with nothing else to do")


def print_rounds(folder: Path, course: Path, texts: Sequence[str]) -> None:
    """Print what one new hand-in takes, the same one again, and the peer."""
    new, again, peer = [], [], []
    for place in range(ROUNDS):
        student = f"n{place:03}"
        where = folder / course.parent.name / student
        where.mkdir()
        text = signed(texts[place % len(texts)], student)
        (where / f"{student}_{UNIT}.ipynb").write_text(text, encoding="utf-8")
        new.append(one(where, course))
        again.append(one(where, course))
        peer.append(timed([sys.executable, "-c", LOAD]))
    for title, costs in (("one new", new), ("the same again", again), ("the peer", peer)):
        points_s, end_s, processor_s = map(statistics.median, zip(*costs, strict=True))
        print(f"    {title:<15} points after {points_s:>5.2f} s, all after {end_s:>5.2f} s, "
              f"{processor_s:>5.2f} s of the processor")  # fmt: skip


def one(where: Path, course: Path) -> Took:
    """Grade one hand-in of the class."""
    return timed([sys.executable, "-c", GRADE, "grade", str(where), "--course", str(course)])


def timed(command: Sequence[str]) -> Took:
    """Run a command, and look at the clock when it prints points."""
    begun_s, points_s, said = time.perf_counter(), None, []
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    ) as running:
        for line in running.stdout:
            said.append(line)
            if points_s is None and POINTS.search(line):
                points_s = time.perf_counter() - begun_s
        _, status, usage = os.wait4(running.pid, 0)
        running.returncode = status
    assert status == 0, "".join(said)[-3000:]
    assert points_s is not None, "".join(said)[-3000:]
    end_s = time.perf_counter() - begun_s
    return Took(points_s, end_s, usage.ru_utime + usage.ru_stime)


if __name__ == "__main__":
    main()
