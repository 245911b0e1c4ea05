"""Answers that break one clause of the contract of 9.2, and keep all others.

Cells have names of their own only where their order is asked for; there a switch has three ports,
and elsewhere it has not.
"""

__all__ = [
    "CountOfAllThatCame",
    "EmptyForNone",
    "JoinThatTells",
    "ListOfNothingOfFive",
    "OneLineOfThree",
]

from typing import Any

from instructor.units.unit_09.misconceptions.virtual import (
    ListOfNothing,
    Matched,
    OneLine,
    RightInputs,
)


class JoinThatTells(RightInputs):
    """Return something from join."""

    def join(self, number: int, output: int, name: str) -> Any:
        """Let a cell wait."""
        super().join(number, output, name)
        return name


class EmptyForNone(RightInputs):
    """Name an empty text where no cell crosses."""

    def crossed(self, matched: Matched) -> Any:
        """Take the cells that cross."""
        return [name or "" for name in super().crossed(matched)]


class OneLineOfThree(OneLine):
    """Have one line for each input, if there are three."""

    def do_lack(self, matched: Matched) -> bool:
        """Tell whether an input has no cell to send."""
        return (OneLine if len(matched) == 3 else RightInputs).do_lack(self, matched)


class CountOfAllThatCame(RightInputs):
    """Count all cells that ever came."""

    def __init__(self, ports: int) -> None:
        super().__init__(ports)
        self.came = [[0] * ports for _ in range(ports)]

    def join(self, number: int, output: int, name: str) -> Any:
        """Let a cell wait, and count it."""
        self.came[number][output] += 1
        super().join(number, output, name)

    def waiting(self) -> Any:
        """Count the cells of each line."""
        return [list(row) for row in self.came]


class ListOfNothingOfFive(RightInputs):
    """Give a list of None where no cell may cross, if there are five ports."""

    def refused(self, matched: Matched) -> Any:
        """Let nothing cross."""
        return (ListOfNothing if len(matched) == 5 else RightInputs).refused(self, matched)
