"""Calls with another student's numbers in a workbook: found by their words, and nothing is run.

A call is found if its numbers and names stand in the code one after the other, whatever is between
them: brackets, blanks, underscores in a number. Calls that are asked of everybody say nothing, nor
those that are the student's own.
"""

__all__ = ["FoundCall", "OthersNumbers"]

import re
from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from course_lib.exercises.personal.own_cases import own_cases
from course_lib.exercises.registry import public_cases

WORD = re.compile(r"[\w./]+")
UNDERSCORE = re.compile(r"(?<=\d)_(?=\d)")
HEAD = 3  # words by which calls are looked up: each has that many

Words = tuple[str, ...]


class FoundCall(NamedTuple):
    """An exercise, and whose numbers one of its calls in a workbook has."""

    exercise: str
    of: str


class OthersNumbers:
    """The calls of a whole class, worked out once from everybody's code."""

    def __init__(self, exercises: Iterable[str], whose: Mapping[str, str]) -> None:
        """Take the exercises with own numbers, and who has which code."""
        self._whose = whose
        self._codes: dict[Words, tuple[str, set[str]]] = {}
        for name in exercises:
            for_all = {_words_of(case.arguments) for case in public_cases(name) + own_cases(name)}
            for code in whose:
                for words in {_words_of(case.arguments) for case in own_cases(name, code)}:
                    if words not in for_all:
                        self._codes.setdefault(words, (name, set()))[1].add(code)
        self._by_head: dict[Words, list[Words]] = {}
        for words in self._codes:
            self._by_head.setdefault(words[:HEAD], []).append(words)

    def found_in(self, cells: Iterable[str], own_code: str) -> tuple[FoundCall, ...]:
        """Return which calls of others stand in the code cells of who has a code."""
        words = _words("\n".join(cells))
        found = set()
        for place in range(len(words) - HEAD + 1):
            for call in self._by_head.get(words[place : place + HEAD], ()):
                exercise, codes = self._codes[call]
                if own_code not in codes and words[place : place + len(call)] == call:
                    of = " or ".join(sorted(self._whose[code] for code in codes))
                    found.add(FoundCall(exercise, of))
        return tuple(sorted(found))


def _words_of(arguments: tuple[Any, ...]) -> Words:
    return _words(repr(arguments))


def _words(text: str) -> Words:
    """Return the numbers and names in Python's text."""
    return tuple(WORD.findall(UNDERSCORE.sub("", text)))
