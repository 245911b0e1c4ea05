"""Misconceptions about request, grant and accept: exercise 9.4.

Each is the class below with one part that is wrong.
"""

__all__ = ["NEW_MATCHER", "MatcherForAll", "Pair", "RightMatcher", "Table"]

from collections.abc import Callable, Sequence
from typing import Any

Table = list[list[int]]
Pair = tuple[int, int]  # input and output


class RightMatcher:
    """Round robin in small parts, of which others get one wrong."""

    def __init__(self, ports: int) -> None:
        self.ports = ports
        self.of_outputs = [0] * ports
        self.of_inputs = [0] * ports

    def match(self, waiting: Table) -> Any:
        """Return what each round adds."""
        rounds: list[list[Pair]] = []
        while self.goes_on(rounds):
            taken = [pair for one in rounds for pair in one]
            grants = self.grants(waiting, taken)
            pairs = self.accepted(grants)
            self.move(grants, pairs, is_first=not rounds)
            if not pairs:
                break
            rounds.append(pairs)
        return self.told(rounds)

    def goes_on(self, rounds: list[list[Pair]]) -> bool:
        """Tell whether there is one more round."""
        return True

    def told(self, rounds: list[list[Pair]]) -> Any:
        """Return rounds as they are told."""
        return rounds

    def is_free_output(self, output: int, taken: list[Pair]) -> bool:
        """Tell whether an output may grant."""
        return all(output != one for _, one in taken)

    def is_free_input(self, number: int, taken: list[Pair]) -> bool:
        """Tell whether an input may request."""
        return all(number != one for one, _ in taken)

    def grants(self, waiting: Table, taken: list[Pair]) -> list[Pair]:
        """Return the grants of all outputs."""
        found = []
        for output in range(self.ports):
            if self.is_free_output(output, taken):
                requests = [
                    number
                    for number in range(self.ports)
                    if waiting[number][output] and self.is_free_input(number, taken)
                ]
                if requests:
                    found.append((self.granted(output, requests, waiting), output))
        return found

    def granted(self, output: int, requests: list[int], waiting: Table) -> int:
        """Choose among requests."""
        return self.first(requests, self.of_outputs[output])

    def first(self, numbers: Sequence[int], pointer: int) -> int:
        """Return the first at or after a pointer."""
        return min(numbers, key=lambda number: (number - pointer) % self.ports)

    def accepted(self, grants: list[Pair]) -> list[Pair]:
        """Return the grants that are accepted, in the order of inputs."""
        pairs = []
        for number in range(self.ports):
            outputs = [output for one, output in grants if one == number]
            if outputs:
                pairs.append((number, self.taken(number, outputs)))
        return pairs

    def taken(self, number: int, outputs: list[int]) -> int:
        """Choose among grants."""
        return self.first(outputs, self.of_inputs[number])

    def move(self, grants: list[Pair], pairs: list[Pair], *, is_first: bool) -> None:
        """Move pointers."""
        if is_first:
            for number, output in pairs:
                self.move_output(output, number)
                self.move_input(number, output)

    def move_output(self, output: int, number: int) -> None:
        """Move the pointer of an output that sends to nobody else."""
        self.of_outputs[output] = (number + 1) % self.ports

    def move_input(self, number: int, output: int) -> None:
        """Move the pointer of an input."""
        self.of_inputs[number] = (output + 1) % self.ports


class MovesOnGrant(RightMatcher):
    """Believe that an output's pointer moves with its grant, accepted or not."""

    def move(self, grants: list[Pair], pairs: list[Pair], *, is_first: bool) -> None:
        super().move(grants, pairs, is_first=is_first)
        if is_first:
            for number, output in grants:
                self.move_output(output, number)


class MovesInEveryRound(RightMatcher):
    """Believe that pointers move in every round."""

    def move(self, grants: list[Pair], pairs: list[Pair], *, is_first: bool) -> None:
        super().move(grants, pairs, is_first=True)


class PointersThatStay(RightMatcher):
    """Believe that pointers never move: port 0 always goes first."""

    def move(self, grants: list[Pair], pairs: list[Pair], *, is_first: bool) -> None:
        pass


class PointsAtThePartner(RightMatcher):
    """Believe that pointers move to the partner, not behind it."""

    def move_output(self, output: int, number: int) -> None:
        self.of_outputs[output] = number

    def move_input(self, number: int, output: int) -> None:
        self.of_inputs[number] = output


class OnePortOn(RightMatcher):
    """Believe that pointers move on by one port, whoever the partner is."""

    def move_output(self, output: int, number: int) -> None:
        self.of_outputs[output] = (self.of_outputs[output] + 1) % self.ports

    def move_input(self, number: int, output: int) -> None:
        self.of_inputs[number] = (self.of_inputs[number] + 1) % self.ports


class AllMoveEachSlot(RightMatcher):
    """Believe that all pointers move on by one port in each slot, matched or not."""

    def move(self, grants: list[Pair], pairs: list[Pair], *, is_first: bool) -> None:
        if is_first:
            self.of_outputs = [(one + 1) % self.ports for one in self.of_outputs]
            self.of_inputs = [(one + 1) % self.ports for one in self.of_inputs]


class InputsAloneMove(RightMatcher):
    """Believe that only inputs have pointers that move."""

    def move_output(self, output: int, number: int) -> None:
        pass


class OnePointerForAll(RightMatcher):
    """Believe that all outputs share one pointer."""

    def move_output(self, output: int, number: int) -> None:
        self.of_outputs = [(number + 1) % self.ports] * self.ports


class EndsAtTheLastPort(RightMatcher):
    """Believe that a pointer sees no port before it, unless none is behind it: the highest wins."""

    def first(self, numbers: Sequence[int], pointer: int) -> int:
        behind = [number for number in numbers if number >= pointer]
        return min(behind) if behind else max(numbers)


class AcceptsTheLowest(RightMatcher):
    """Believe that inputs accept the lowest output, and need no pointer."""

    def taken(self, number: int, outputs: list[int]) -> int:
        return min(outputs)


class AcceptsAll(RightMatcher):
    """Believe that an input accepts all grants that it gets."""

    def accepted(self, grants: list[Pair]) -> list[Pair]:
        return sorted(grants)


class GrantsTheLongest(RightMatcher):
    """Believe that the longest line is granted."""

    def granted(self, output: int, requests: list[int], waiting: Table) -> int:
        most = max(waiting[number][output] for number in requests)
        longest = [number for number in requests if waiting[number][output] == most]
        return self.first(longest, self.of_outputs[output])


class OneRoundAlone(RightMatcher):
    """Believe that there is one round in a slot."""

    def goes_on(self, rounds: list[list[Pair]]) -> bool:
        return not rounds


class TwoRoundsAtMost(RightMatcher):
    """Believe that a second round finds all that is left."""

    def goes_on(self, rounds: list[list[Pair]]) -> bool:
        return len(rounds) < 2


class MatchedOutputsGrant(RightMatcher):
    """Believe that outputs that have a partner grant again in later rounds."""

    def is_free_output(self, output: int, taken: list[Pair]) -> bool:
        return True


class AllRoundsTogether(RightMatcher):
    """Believe that the pairs of a slot are told in one list."""

    def told(self, rounds: list[list[Pair]]) -> Any:
        return sorted(pair for one in rounds for pair in one)


class LastRoundToo(RightMatcher):
    """Believe that the round that adds nothing is told, too."""

    def told(self, rounds: list[list[Pair]]) -> Any:
        return [*rounds, []]


class OutputsFirst(RightMatcher):
    """Believe that a pair is told with its output first."""

    def told(self, rounds: list[list[Pair]]) -> Any:
        return [sorted((output, number) for number, output in one) for one in rounds]


SHARED: dict[str, RightMatcher] = {}


class MatcherForAll:
    """Believe that all switches may keep their pointers in one place."""

    def __init__(self, ports: int) -> None:
        SHARED["pointers"] = RightMatcher(ports)

    def __getattr__(self, method: str) -> Any:
        return getattr(SHARED["pointers"], method)


NEW_MATCHER: dict[str, Callable[..., Any]] = {
    "moves-on-grant": MovesOnGrant,
    "moves-in-every-round": MovesInEveryRound,
    "pointers-that-stay": PointersThatStay,
    "points-at-the-partner": PointsAtThePartner,
    "one-port-on": OnePortOn,
    "all-move-each-slot": AllMoveEachSlot,
    "inputs-alone-move": InputsAloneMove,
    "one-pointer-for-all": OnePointerForAll,
    "ends-at-the-last-port": EndsAtTheLastPort,
    "accepts-the-lowest": AcceptsTheLowest,
    "accepts-all": AcceptsAll,
    "grants-the-longest": GrantsTheLongest,
    "one-round-alone": OneRoundAlone,
    "two-rounds-at-most": TwoRoundsAtMost,
    "matched-outputs-grant": MatchedOutputsGrant,
    "all-rounds-together": AllRoundsTogether,
    "last-round-too": LastRoundToo,
    "outputs-first": OutputsFirst,
    "one-place-for-all": MatcherForAll,
}
