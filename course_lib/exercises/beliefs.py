"""Which of the known beliefs an answer shows, if all evidence fits one.

Each case knows what each belief would give. A belief is named if

* in one aspect it gives just what the answer gave, wherever either of them is wrong;
* in no case of any aspect the answer is right where the belief would be wrong;
* it explains at least `ENOUGH` wrong results;
* wrong results of other aspects are explained as well, by it or by another belief: what is
  wrong there may be the same thing, which nobody has listed;
* no answer without thought, such as one value for everything, would have given them too.

What one case cannot tell from chance is no evidence, nor is a case that knows of no belief.
Silence is better than a wrong name.
"""

__all__ = ["agrees", "beliefs_shown"]

from collections.abc import Sequence

from course_lib.exercises.registry import Case, Exercise, Expected
from course_lib.runner.plain_data import same
from course_lib.runner.runner import Result

ENOUGH = 2  # wrong results; a single one may be luck
MOST_NAMED = 2  # beliefs that no case tells apart; more say nothing


def agrees(expected: Expected, result: Result, *, whole: bool = False) -> bool:
    """Tell whether a result is what was expected."""
    if expected.out_of_time:
        return result.kind == "out of time"
    if expected.any_value:
        return result.kind in ("value", "not plain")
    if expected.raises:
        return result.problem is not None and expected.raises in result.problem.kinds
    return result.kind == "value" and same(expected.value, result.value, whole=whole)


def beliefs_shown(
    item: Exercise, cases: Sequence[Case], results: Sequence[Result]
) -> tuple[str, ...]:
    """Return the one belief that the results show, two that no case tells apart, or none.

    A belief that gives every result of every aspect goes before all others. Else the answer may
    show several, one in each aspect; that of the first wrong aspect is named.
    """
    known = [place for place, case in enumerate(cases) if case.variants]
    if not known:
        return ()
    cases, results = [cases[place] for place in known], [results[place] for place in known]
    evidence = _Evidence(item, cases, results)
    if evidence.needs_no_thought():
        return ()
    aspects = tuple(dict.fromkeys(case.aspect for case in cases))
    fits = {name: evidence.aspects_explained(name, aspects) for name in evidence.possible()}
    everywhere = [name for name, explained in fits.items() if explained == aspects]
    if everywhere:
        return _told_apart(everywhere)
    wrong = [aspect for aspect in aspects if not evidence.is_right(aspect)]
    shown = [[name for name in fits if aspect in fits[name]] for aspect in wrong]
    return _told_apart(shown[0]) if shown and all(shown) else ()


def _told_apart(names: Sequence[str]) -> tuple[str, ...]:
    return tuple(names) if len(names) <= MOST_NAMED else ()


class _Evidence:
    """Results of one answer beside what is right and what each belief gives."""

    def __init__(self, item: Exercise, cases: Sequence[Case], results: Sequence[Result]) -> None:
        self._cases = cases
        self._results = results
        self._whole = item.whole
        self._places: dict[str, list[int]] = {}  # where each aspect has its cases
        for place, case in enumerate(cases):
            self._places.setdefault(case.aspect, []).append(place)
        self.right = [self._fits(case.expected, place) for place, case in enumerate(cases)]

    def _fits(self, expected: Expected, place: int) -> bool:
        return agrees(expected, self._results[place], whole=self._whole)

    def is_right(self, aspect: str) -> bool:
        """Tell whether all results of an aspect are right."""
        return all(self.right[place] for place in self._places[aspect])

    def possible(self) -> list[str]:
        """Return the beliefs that are nowhere contradicted: wrong where the answer is right."""
        against: set[str] = set()
        for right, case in zip(self.right, self._cases, strict=True):
            if right:
                against |= case.wrong_in_whole_numbers if self._whole else case.wrong_in
        names: dict[str, Expected] = {}
        for case in self._cases:
            names.update(case.variants)
        return [name for name in names if name not in against]

    def aspects_explained(self, name: str, aspects: Sequence[str]) -> tuple[str, ...]:
        """Return the aspects in which a belief gives just these results, if that is evidence.

        It is none if too few wrong results are explained.
        """
        fit = tuple(
            aspect for aspect in aspects
            if all(self._fits(self._cases[at].variants[name], at) for at in self._places[aspect])
        )  # fmt: skip
        wrong = sum(not self.right[at] for aspect in fit for at in self._places[aspect])
        return fit if wrong >= ENOUGH else ()

    def needs_no_thought(self) -> bool:
        """Tell whether one value, one refusal, or an argument handed back gives all results."""
        first = self._results[0]
        if first.kind != "value":
            return all(one.kind == first.kind for one in self._results)
        if any(one.kind != "value" for one in self._results):
            return False
        if all(same(first.value, one.value, whole=True) for one in self._results):
            return True
        return any(
            all(
                same(case.arguments[place], one.value, whole=True)
                for case, one in zip(self._cases, self._results, strict=True)
            )
            for place in (0, -1)
        )
