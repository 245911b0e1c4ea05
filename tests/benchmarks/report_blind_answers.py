"""How the checks fare on answers whose writers had seen no case: a line for each exercise.

    python tests/benchmarks/report_blind_answers.py [--names] [UNIT ...]

Each answer is put to `mark`, and to grading with secret cases. Whether a name is right is judged
without the rule that gave it: the answer is also put to a big set, the public cases and the secret
ones of `SEEDS`, and compared there with every listed belief. In an aspect in which it loses, it
shows the beliefs that give each of its results. So a name is

* borne out, if in one such aspect the answer shows that belief;
* wrong, if it shows it in none, but another;
* unproved, if it shows no listed belief at all.

An answer without a name is silent though something is shown, if one belief gives all its results
in all aspects in which it loses. That belief is contradicted, if the answer is right in another
aspect where it would be wrong: then silence is right. Something is shown in part, if a belief that
is not contradicted gives all results in one aspect in which a silent answer loses, not in all.

`mark` and grading are compared twice: on the same cases, where everything must be the same; and
with the secret ones, where only points may fall, and only where a clause is broken.

Below the table: right answers that lost points, wrong ones that lost none, names that are wrong,
silence where a belief is shown, and what differs. `--names` lists every name given, beside what the
answer's writer had noted: that is for a person to judge, and what was read is no longer unseen.
Grading runs in the sandbox where there is one; a unit takes one to three minutes.
"""

import sys
from collections import Counter
from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "support"))

from course_lib.exercises.answer_source import stand_alone
from course_lib.exercises.beliefs import agrees
from course_lib.exercises.feedback import misconception_title
from course_lib.exercises.registry import UNITS, Case, exercise, public_cases
from course_lib.exercises.tried_answer import mark_cells, run_on
from course_lib.exercises.verdict import Verdict
from course_lib.runner.answer_process import Launcher
from course_lib.runner.runner import Result
from hand_ins.blind_answers import BlindAnswer, blind_answers, in_its_workbook
from instructor.grading.examiner import Examiner
from instructor.grading.intake.hand_ins import HandIn
from instructor.grading.intake.notebook_reader import Cell, Notebook
from instructor.grading.sandbox.sandbox import open_sandbox
from instructor.quality.gate import cases_of_seeds
from instructor.release.workbook_files import unit_names
from instructor.units.items import Item, unit_items

SEEDS = tuple(f"blind {number}" for number in range(6))
COLUMNS = (
    "right", "passed", "wrong", "lost points", "named", "borne out", "named wrongly", "unproved",
    "either-or", "silent", "silent though shown", "contradicted", "shown in part", "compared",
    "mark differs", "falls in secret",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Tried:
    """One answer: what `mark` says, what grading says of the same cases and with secret ones."""

    answer: BlindAnswer
    marked: Verdict
    same_cases: Verdict
    graded: Verdict
    shown: Mapping[str, frozenset[str]]  # by each aspect in which it loses, over the big set
    contradicted: frozenset[str]  # wrong where it is right, over the big set


class UnitTrial:
    """All that the answers of one unit are put to."""

    def __init__(self, unit: str, launcher: Launcher | None) -> None:
        whole = next(name for name in unit_names() if name.startswith(unit))
        items = unit_items(unit)
        public = {one.exercise.id: public_cases(one.exercise.id) for one in items}
        self._examiners = (
            Examiner(whole, "blind", launcher, public),
            Examiner(whole, "blind", launcher),
        )
        self._big = {one.exercise.id: big_set(public[one.exercise.id], one) for one in items}

    def tried(self, answer: BlindAnswer) -> Tried:
        """Put one answer to everything."""
        item = exercise(answer.exercise)
        cells = in_its_workbook(answer)
        notebook = Notebook(tuple(Cell("code", *cell) for cell in cells), item.unit, "")
        sources, above = [source for _, source in cells], notebook.above(item.mark_name)
        hand_in = HandIn("alder", item.unit, Path("alder.ipynb"), notebook)
        same_cases, graded = (
            next(one.verdict for one in by.examine(hand_in).answers if one.verdict.exercise == item)
            for by in self._examiners
        )
        found = stand_alone(item.function, sources, above)
        big = self._big[item.id]
        results = run_on(item, found, big).results if found else ()
        return Tried(
            answer, mark_cells(item, sources, above).verdict, same_cases, graded,
            shown_by_aspect(big, results, whole=item.whole),
            contradicted(big, results, whole=item.whole),
        )  # fmt: skip


def big_set(public: Sequence[Case], one: Item) -> tuple[Case, ...]:
    """Return the public cases and the secret ones of all seeds, none of them twice."""
    batches = cases_of_seeds(one, SEEDS)
    cases = [*batches[0], *(case for batch in batches[1:] for case in batch[len(public) :])]
    return tuple({repr(case.arguments): case for case in cases}.values())


def shown_by_aspect(
    cases: Sequence[Case], results: Sequence[Result], *, whole: bool
) -> dict[str, frozenset[str]]:
    """Return, for each aspect in which results are wrong, the beliefs that give all of them."""
    beliefs: dict[str, set[str]] = {}
    wrong = set()
    for case, result in zip(cases, results, strict=False):
        given = case.variants.items()
        same = {name for name, variant in given if agrees(variant, result, whole=whole)}
        beliefs.setdefault(case.aspect, set(case.variants)).intersection_update(same)
        if not agrees(case.expected, result, whole=whole):
            wrong.add(case.aspect)
    return {aspect: frozenset(names) for aspect, names in beliefs.items() if aspect in wrong}


def contradicted(
    cases: Sequence[Case], results: Sequence[Result], *, whole: bool
) -> frozenset[str]:
    """Return the beliefs that would be wrong somewhere where the results are right."""
    return frozenset(
        name
        for case, result in zip(cases, results, strict=False)
        if agrees(case.expected, result, whole=whole)
        for name, variant in case.variants.items()
        if not case.expected.is_same(variant, whole=whole)
    )


def what_a_name_is_worth(tried: Tried) -> str:
    """Tell whether a name was borne out, wrong or unproved; "" where none was given."""
    names = {tried.graded.misconception, *tried.graded.either} - {""}
    if not names:
        return ""
    shown = frozenset().union(*tried.shown.values())
    if names & shown:
        return "borne out"
    return "named wrongly" if shown else "unproved"


def everywhere(tried: Tried) -> frozenset[str]:
    """Return the beliefs that an answer shows in every aspect in which it loses."""
    sets = list(tried.shown.values())
    return sets[0].intersection(*sets[1:]) if sets else frozenset()


def differences(tried: Tried) -> list[str]:
    """Say where `mark` and grading part: on the same cases, or where secret ones gain points."""
    one, other = tried.marked, tried.same_cases
    found = [
        f"`mark` and grading differ in {what}"
        for what in ("earned", "outcome", "misconception", "either", "first_wrong", "problem")
        if getattr(one, what) != getattr(other, what)
    ]
    if one.points != other.points:
        found.append(f"`mark` gives {one.points}, grading {other.points}: {other.note}")
    pairs = zip(one.earned, tried.graded.earned, strict=True)
    return found + [
        f"{mine[0]} gains points from secret cases" for mine, theirs in pairs if theirs[1] > mine[1]
    ]


def look_at(tried: Tried, count: Counter[str], *, with_names: bool) -> list[str]:
    """Count one answer, and return what a person should look at."""
    answer, graded = tried.answer, tried.graded
    where, full = f"{answer.exercise} {answer.name}", graded.points == graded.exercise.points
    remarks = [f"{where}: {told}" for told in differences(tried)]
    falls = tried.marked.points == graded.exercise.points and not full
    count.update({"compared": 1, "mark differs": bool(remarks), "falls in secret": falls})
    if answer.kind == "right":
        count.update({"right": 1, "passed": full})
        if not full:
            remarks.append(f"{where} is right, and lost points: {answer.slip}")
    if answer.kind != "wrong":
        return remarks
    worth = what_a_name_is_worth(tried)
    silent = not full and not worth
    count.update({"wrong": 1, "lost points": not full, "silent": silent})
    count.update({"named": bool(graded.misconception), "either-or": bool(graded.either)})
    if worth:
        count[worth] += 1
    if full:
        remarks.append(f"{where} is wrong, and lost nothing: {answer.slip}")
    for name in filter(None, (graded.misconception, *graded.either)):
        if with_names or worth != "borne out":
            words = misconception_title(answer.exercise, name)
            remarks.append(f"{where} was named “{words}” ({name}, {worth}): {answer.slip}")
    if worth == "named wrongly":
        remarks.append(f"{where} shows {dict(tried.shown)}")
    beliefs = everywhere(tried)
    if silent and not beliefs:
        count["shown in part"] += any(one - tried.contradicted for one in tried.shown.values())
    if silent and beliefs:
        not_there = beliefs <= tried.contradicted
        count.update({"silent though shown": 1, "contradicted": not_there})
        but = ", which would be wrong where it is right" if not_there else ""
        remarks.append(f"{where} is silent, and shows {', '.join(sorted(beliefs))}{but}")
    return remarks


def main() -> None:
    """Print the table and both shares, then what is to be looked at."""
    counts: dict[str, Counter[str]] = {}
    remarks: list[str] = []
    units = [one for one in sys.argv[1:] if one != "--names"] or UNITS
    with open_sandbox(2) as sandbox, ThreadPoolExecutor(2) as pool:
        for unit in units:
            trial = UnitTrial(unit, sandbox.launcher)
            for tried in pool.map(trial.tried, blind_answers(unit)):
                count = counts.setdefault(tried.answer.exercise, Counter())
                remarks += look_at(tried, count, with_names="--names" in sys.argv)
    print("exercise", *COLUMNS, sep=" | ")
    total: Counter[str] = sum(counts.values(), Counter())
    for name, count in [*counts.items(), ("all", total)]:
        print(name, *(count[column] for column in COLUMNS), sep=" | ")
    given = total["named"] + total["either-or"]
    shows = total["borne out"] + total["silent though shown"]
    print("wrongly named:", share(total["named wrongly"], given))
    print("silent where a listed belief is shown:", share(total["silent though shown"], shows))
    print("of these contradicted elsewhere:", total["contradicted"])
    print(*remarks, sep="\n")


def share(part: int, whole: int) -> str:
    """Write a share as a fraction and in percent; nothing of nothing is none."""
    return f"{part} of {whole}, {100 * part / whole:.1f} %" if whole else "none"


if __name__ == "__main__":
    main()
