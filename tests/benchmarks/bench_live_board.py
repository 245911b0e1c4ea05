"""All clauses of the board with the library's router as a process between real kernels.

    python tests/benchmarks/bench_live_board.py [all]

Prints what was not passed, and how long it took; with `all` also what takes minutes. It ends with
code 1 if a clause that the router object keeps is not kept by the process.
"""

import sys
import time

from course_lib.conformance import SCENARIOS, Outcome, board_of
from course_lib.live import LiveBoard


def main(longest_s: float) -> int:
    """Play them; return the exit code."""
    begun_s = time.perf_counter()
    with LiveBoard(longest_s=longest_s) as live:
        ready_s = time.perf_counter()
        board = board_of(live.play, SCENARIOS)
    for each in board.results:
        if each.outcome is not Outcome.PASSED:
            print(f"{each}\n")
    counts = ", ".join(f"{number} {outcome}" for outcome, number in board.counts().items())
    print(f"{counts}; {ready_s - begun_s:.1f} s to begin, {time.perf_counter() - ready_s:.1f} s")
    return 1 if board.count(Outcome.FAILED) or board.count(Outcome.NOT_REACHED) else 0


if __name__ == "__main__":
    sys.exit(main(600.0 if sys.argv[1:] == ["all"] else 60.0))
