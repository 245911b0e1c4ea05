"""How many copies of the library are found, by what was changed in them, and what looking costs.

    python tests/benchmarks/bench_library_copies.py [ONE_IN]

Copies are one in ONE_IN (3) of all functions of the library that have enough code of their own,
handed in for a unit whose answers they are not. Of honest answers (90 right ones that were
written apart, the course's own and its misconceptions) each that is named is printed; there
nothing is subtracted, since the course's own would subtract themselves.

The cost is processor time for one hand-in, beside that of the fingerprints which the list of
pairs needs anyway. The library's own are worked out once in a run.
"""

import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "support"))

from course_lib.exercises.verdict import Outcome, without_run
from hand_ins.copied_code import CHANGES, Original, originals
from hand_ins.honest_answers import known_answers, written_apart
from hand_ins.odd_hand_ins import UNIT, odd_hand_ins
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.intake.notebook_reader import find_answer, read_notebook
from instructor.grading.marked import MarkedAnswer, MarkedHandIn
from instructor.grading.similarity import library_copies
from instructor.grading.similarity.code_prints import code_prints
from instructor.grading.similarity.fingerprints import all_hashes
from instructor.grading.similarity.library_copies import copies_in, read_library
from instructor.grading.similarity.pairs import common_ground
from instructor.units.items import unit_items


def main(one_in: int = 3) -> None:
    """Print the shares found, honest answers that are named, and the costs."""
    print(f"the library's hashes: {timed(read_library.__wrapped__):.0f} ms, once in a run")
    print_shares_found([one for one in originals() if can_be_named(one)][::one_in])
    print_honest()
    print_costs()


def can_be_named(one: Original) -> bool:
    """Tell whether a function has enough code of its own to be named at all."""
    whole = read_library().hashes_of(one.name)
    return len(whole - common_ground(UNIT)) >= library_copies.FEWEST


def print_shares_found(chosen: list[Original]) -> None:
    """Print, for each change, for how many something is named, and themselves, how completely."""
    print(f"{len(chosen)} functions tried\n{'change':30} found  itself  median share")
    ground = common_ground(UNIT)
    for name, change in CHANGES.items():
        found = [
            copies_in(all_hashes([change(one.copy)]), ground, read_library()) for one in chosen
        ]
        itself = [
            shared / of
            for one, copies in zip(chosen, found, strict=True)
            for function, shared, of in copies
            if function == one.name
        ]
        print(f"{name:30} {sum(map(bool, found)) / len(chosen):5.1%}"
              f"  {len(itself) / len(chosen):5.1%}  {statistics.median(itself):.2f}")  # fmt: skip


def print_honest() -> None:
    """Print the honest answers that are named; there should be none."""
    answers = [*written_apart(), *known_answers()]
    for one in answers:
        for copy in copies_in(all_hashes([one.source]), frozenset(), read_library()):
            print(f"FALSE: {one.exercise} {one.name}: {copy}")
    print(f"{len(answers)} honest answers")


def print_costs() -> None:
    """Print what looking costs for each of the honest hand-ins."""
    hand_ins = [HandIn(one.name, UNIT, Path(one.name), read_notebook(one.octets))
                for one in odd_hand_ins()]  # fmt: skip
    pairs = [(one, as_marked(one)) for one in hand_ins]
    prints = [timed(lambda pair=pair: code_prints(*pair)) for pair in pairs]
    taken = [(one, code_prints(one, marked)) for one, marked in pairs]
    looks = [
        timed(
            lambda pair=pair: library_copies.library_copies(
                *pair, read_library(), common_ground(UNIT)
            )
        )
        for pair in taken
    ]
    for name, times in (("fingerprints", prints), ("library", looks)):
        print(f"{name:12} mean {statistics.mean(times):.2f}, median {statistics.median(times):.2f},"
              f" most {max(times):.2f} ms a hand-in; {len(times)} hand-ins")  # fmt: skip


def as_marked(hand_in: HandIn) -> MarkedHandIn:
    """Return a hand-in with its answers found and not judged."""
    answers = [
        MarkedAnswer(
            without_run(one.exercise, Outcome.RIGHT),
            find_answer(hand_in.notebook, one.exercise, "").source,
        )
        for one in unit_items(UNIT[:2])
    ]
    return MarkedHandIn(hand_in.student, UNIT, tuple(answers))


def timed(action: Callable[[], object]) -> float:
    """Return the processor time that an action takes, in milliseconds."""
    start = time.process_time()
    action()
    return 1000 * (time.process_time() - start)


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
