"""How many copies of the library are found, by disguise, and what it costs to look for them.

    python tests/benchmarks/bench_library_copies.py [ONE_IN]

Copies are one in ONE_IN (3) of all functions of the library that have enough code of their own,
each in every disguise, handed in for a unit whose answers they are not. Honest are 90 right
answers that were written apart, and the course's own answers and misconceptions; for the last
two nothing is subtracted, since they would subtract themselves.

The cost is processor time for one hand-in, beside that of the fingerprints which the list of
pairs needs anyway. The library's own are worked out once in a run.
"""

import statistics
import sys
import time
from collections.abc import Callable, Iterable
from pathlib import Path
from unittest.mock import patch

sys.path.insert(0, str(Path(__file__).parents[1] / "support"))

from course_lib.exercises.verdict import Outcome, without_run
from hand_ins.honest_answers import Honest, known_answers, written_apart
from hand_ins.library_disguises import DISGUISES, Original, originals
from hand_ins.odd_hand_ins import UNIT, odd_hand_ins
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.intake.notebook_reader import find_answer, read_notebook
from instructor.grading.marked import MarkedAnswer, MarkedHandIn
from instructor.grading.similarity import library_copies
from instructor.grading.similarity.fingerprints import fingerprints
from instructor.grading.similarity.library_copies import copies_in, modules_met
from instructor.grading.similarity.library_looks import looks_at
from instructor.grading.similarity.pairs import common_ground, prints_of
from instructor.units.items import unit_items


def main(one_in: int = 3) -> None:
    """Print three tables."""
    print_shares_found([one for one in originals() if can_be_named(one)], one_in)
    print_honest("written apart", written_apart())
    with patch.object(library_copies, "common_ground", lambda unit: frozenset()), \
         patch.object(library_copies, "_known", lambda unit: frozenset()):  # fmt: skip
        print_honest("the course's own, nothing subtracted", known_answers())
    print_costs()


def can_be_named(one: Original) -> bool:
    """Tell whether a function has enough code of its own to be named at all."""
    module = one.name.rpartition(".")[0]
    plain = library_copies._library()
    modules = [name for name in (module, module.rpartition(".")[0]) if name in plain._trees]
    whole = plain.plain(modules[0]).get(one.name, frozenset()) if modules else frozenset()
    return len(whole - library_copies._known(UNIT)) >= library_copies.FEWEST


def print_shares_found(there: list[Original], one_in: int) -> None:
    """Print, for each disguise, how many functions are named, and with what share."""
    chosen = there[::one_in]
    print(f"{len(list(originals()))} functions, {len(there)} can be named, {len(chosen)} tried")
    print(f"{'disguise':30} found  itself  median share")
    for name, disguise in DISGUISES.items():
        found, named, shares = 0, 0, []
        for one in chosen:
            cells = disguise(one.copy)
            copies = seen(UNIT, cells)
            found += bool(copies)
            itself = [copy.share for copy in copies if copy.function == one.name]
            named += bool(itself)
            shares += itself
        print(f"{name:30} {found / len(chosen):5.1%}  {named / len(chosen):5.1%}"
              f"  {statistics.median(shares):.2f}")  # fmt: skip


def print_honest(title: str, answers: Iterable[Honest]) -> None:
    """Print how many honest answers are named, and how many are looked at twice."""
    count = twice = 0
    for one in answers:
        count += 1
        twice += bool(modules_met(one.unit, fingerprints([one.source])))
        for copy in seen(one.unit, [one.source]):
            print(f"FALSE: {one.exercise} {one.name}: {copy}")
    print(f"{title}: {count} answers, {twice} looked at twice")


def seen(unit: str, cells: list[str]) -> tuple[library_copies.Copy, ...]:
    """Return what is named of cells that are all part of one answer."""
    modules = modules_met(unit, fingerprints(cells))
    return copies_in("\n\n".join(cells), unit, modules) if modules else ()


def print_costs() -> None:
    """Print what looking costs, once in a run and for each of the honest hand-ins."""
    library_copies._library.cache_clear()
    print(f"the library's fingerprints: {timed(library_copies._library):.0f} ms, once in a run")
    common_ground(UNIT)
    hand_ins = [HandIn(one.name, UNIT, Path(one.name), read_notebook(one.octets))
                for one in odd_hand_ins()]  # fmt: skip
    marked = [as_marked(one) for one in hand_ins]
    prints = [timed(lambda one=one: prints_of(one)) for one in hand_ins]
    pairs = list(zip(hand_ins, marked, strict=True))
    looks = [timed(lambda pair=pair: looks_at(*pair)) for pair in pairs]
    for name, times in (("fingerprints", prints), ("looks", looks)):
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
