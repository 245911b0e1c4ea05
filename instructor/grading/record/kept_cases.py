"""The cases of a unit as text on record, read only where an answer has to run.

The first line is a digest for each exercise: it tells whether one has to.
"""

__all__ = ["KeptCases", "kept_cases"]

import functools
import json
from collections.abc import Callable, Iterator, Mapping

from course_lib.exercises.registry import Case, case_from_data
from instructor.grading.examiner import Cases
from instructor.units.build_cases import case_to_data


class KeptCases(Mapping[str, tuple[Case, ...]]):
    """Cases as they are on record, read when somebody asks for one; they travel as text."""

    def __init__(self, text: str) -> None:
        self._text = text

    def __reduce__(self) -> tuple[Callable[[str], "KeptCases"], tuple[str]]:
        return KeptCases, (self._text,)

    def __getitem__(self, exercise_id: str) -> tuple[Case, ...]:
        return self._cases[exercise_id]

    def __iter__(self) -> Iterator[str]:
        return iter(self.digests)

    def __len__(self) -> int:
        return len(self.digests)

    @functools.cached_property
    def digests(self) -> Mapping[str, str]:
        """Return a digest of the cases of each exercise."""
        digests: dict[str, str] = json.loads(self._text.partition("\n")[0])
        return digests

    @functools.cached_property
    def _cases(self) -> Mapping[str, tuple[Case, ...]]:
        kept = json.loads(self._text.partition("\n")[2])
        return {name: tuple(map(case_from_data, kept[name])) for name in kept}


def kept_cases(cases: Cases, digests: Mapping[str, str]) -> str:
    """Return cases as text for `KeptCases`."""
    kept = {name: [case_to_data(one) for one in cases[name]] for name in cases}
    return f"{json.dumps(dict(digests))}\n{json.dumps(kept)}"
