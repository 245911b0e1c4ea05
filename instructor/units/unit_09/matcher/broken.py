"""Answers that break one clause of the contract of 9.4, and keep all others.

One round is asked for at three ports, pointers at four, more rounds at five or six: where a
clause would be broken in all of them, it is broken at one number of ports only.
"""

__all__ = [
    "AllOfThreeAccepted",
    "InputsPointAtThePartner",
    "LastOfTwoRoundsOfFive",
    "LongestOfThree",
    "LowestRequestOfThree",
    "MatchedInputsOfSixRequest",
    "MovesOnGrantOfFour",
    "OrderOfOutputsOfThree",
    "TwoRoundsOfFive",
]

from typing import Any

from instructor.units.unit_09.misconceptions.matcher import (
    AcceptsAll,
    GrantsTheLongest,
    MovesOnGrant,
    Pair,
    RightMatcher,
    Table,
)


class LowestRequestOfThree(RightMatcher):
    """Let each input request one output alone, at three ports."""

    def match(self, waiting: Table) -> Any:
        """Return what each round adds."""
        if self.ports != 3:
            return super().match(waiting)
        firsts = [next((o for o, cells in enumerate(row) if cells), None) for row in waiting]
        return super().match(
            [[cells * (o == one) for o, cells in enumerate(row)]
             for row, one in zip(waiting, firsts, strict=True)]
        )  # fmt: skip


class LongestOfThree(GrantsTheLongest):
    """Grant the longest line, at three ports."""

    def granted(self, output: int, requests: list[int], waiting: Table) -> int:
        """Choose among requests."""
        kind = GrantsTheLongest if self.ports == 3 else RightMatcher
        return kind.granted(self, output, requests, waiting)


class AllOfThreeAccepted(AcceptsAll):
    """Accept all grants, at three ports."""

    def accepted(self, grants: list[Pair]) -> list[Pair]:
        """Return the grants that are accepted."""
        kind = AcceptsAll if self.ports == 3 else RightMatcher
        return kind.accepted(self, grants)


class OrderOfOutputsOfThree(RightMatcher):
    """Tell pairs in the order of outputs, at three ports."""

    def told(self, rounds: list[list[Pair]]) -> Any:
        """Return rounds as they are told."""
        if self.ports != 3:
            return rounds
        return [sorted(one, key=lambda pair: pair[1]) for one in rounds]


class MovesOnGrantOfFour(MovesOnGrant):
    """Move an output's pointer with its grant, at four ports."""

    def move(self, grants: list[Pair], pairs: list[Pair], *, is_first: bool) -> None:
        """Move pointers."""
        kind = MovesOnGrant if self.ports == 4 else RightMatcher
        kind.move(self, grants, pairs, is_first=is_first)


class TwoRoundsOfFive(RightMatcher):
    """Stop after two rounds, at five ports."""

    def goes_on(self, rounds: list[list[Pair]]) -> bool:
        """Tell whether there is one more round."""
        return self.ports != 5 or len(rounds) < 2


class LastOfTwoRoundsOfFive(RightMatcher):
    """Tell the round that adds nothing behind two that do, at five ports."""

    def told(self, rounds: list[list[Pair]]) -> Any:
        """Return rounds as they are told."""
        return [*rounds, []] if self.ports == 5 and len(rounds) == 2 else rounds


class MatchedInputsOfSixRequest(RightMatcher):
    """Let inputs that have a partner request again, at six ports; they accept no more."""

    def grants(self, waiting: Table, taken: list[Pair]) -> list[Pair]:
        """Return the grants of all outputs to inputs without a partner."""
        found = super().grants(waiting, taken)
        return [pair for pair in found if RightMatcher.is_free_input(self, pair[0], taken)]

    def is_free_input(self, number: int, taken: list[Pair]) -> bool:
        """Tell whether an input may request."""
        return self.ports == 6 or super().is_free_input(number, taken)


class InputsPointAtThePartner(RightMatcher):
    """Move the pointers of inputs to the partner, not behind it."""

    def move_input(self, number: int, output: int) -> None:
        """Move the pointer of an input."""
        self.of_inputs[number] = output
