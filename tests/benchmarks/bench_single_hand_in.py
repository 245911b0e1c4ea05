"""What it takes to grade a single hand-in of a class that was graded before.

    python tests/benchmarks/bench_single_hand_in.py [CLASS ...]

For each size of the class (1 and 120 unless told otherwise) an invented class hands in unit 02
and is graded: that first run works out the secret cases, and is printed apart. Then, in each round,
one student more hands in and `hopbyhop grade` gets that one folder; and the same folder once again,
where no answer has to run. Printed are medians of the rounds: seconds on the wall, from the start
of the command to its end, and of the processor, with all that it started, sandbox included.

The peer, in the same rounds, is Python starting and loading the gradebook's own code, which no
command can do without: a slow or busy machine shows there too.
"""

import os
import statistics
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

from bench_grading import GRADE, UNIT, Cost, cost_of, grade, setting, signed

ROUNDS = 5
SAMPLE = 5
SIZES = (1, 120)
LOAD = "from nbgrader.api import Gradebook"
MOST_S = 3.0


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
    print(f"wanted: under {MOST_S:g} s on the wall, on a machine with nothing else to do")


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
        peer.append(cost_of([sys.executable, "-c", LOAD], course, {}))
    for title, costs in (("one new", new), ("the same again", again), ("the peer", peer)):
        wall_s = statistics.median(cost.wall_s for cost in costs)
        processor_s = statistics.median(cost.processor_s for cost in costs)
        print(
            f"    {title:<15} {wall_s:>5.2f} s on the wall, {processor_s:>5.2f} s of the processor"
        )


def one(where: Path, course: Path) -> Cost:
    """Grade one hand-in of the class."""
    command = [sys.executable, "-c", GRADE, "grade", str(where), "--course", str(course)]
    return cost_of(command, course, {})


if __name__ == "__main__":
    main()
