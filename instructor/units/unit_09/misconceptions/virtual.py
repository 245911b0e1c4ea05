"""Misconceptions about inputs with a line for each output: exercise 9.2.

Each is the class below with one part that is wrong.
"""

__all__ = ["NEW_INPUTS", "InputsForAll", "Matched", "RightInputs"]

from collections.abc import Callable
from typing import Any

Matched = list[int | None]


class RightInputs:
    """Virtual output queues in small parts, of which others get one wrong."""

    def __init__(self, ports: int) -> None:
        self.cells: list[list[list[str]]] = [[[] for _ in range(ports)] for _ in range(ports)]

    def join(self, number: int, output: int, name: str) -> Any:
        """Let a cell wait."""
        self.cells[number][output].append(name)

    def waiting(self) -> Any:
        """Count the cells of each line."""
        return [[len(line) for line in row] for row in self.cells]

    def cross(self, matched: Matched) -> Any:
        """Let cells cross, or none at all."""
        if self.do_meet(matched) or self.do_lack(matched):
            return self.refused(matched)
        return self.crossed(matched)

    def do_meet(self, matched: Matched) -> bool:
        """Tell whether two inputs send to one output."""
        outputs = [output for output in matched if output is not None]
        return len(set(outputs)) < len(outputs)

    def do_lack(self, matched: Matched) -> bool:
        """Tell whether an input has no cell to send."""
        return any(
            output is not None and not self.cells[number][output]
            for number, output in enumerate(matched)
        )

    def crossed(self, matched: Matched) -> Any:
        """Take the cells that cross; None where there is none."""
        return [
            self.taken(number, output)
            if output is not None and self.cells[number][output]
            else None
            for number, output in enumerate(matched)
        ]

    def taken(self, number: int, output: int) -> Any:
        """Take a cell out of its line."""
        return self.cells[number][output].pop(0)

    def refused(self, matched: Matched) -> Any:
        """Let nothing cross."""
        return None


class OneLine(RightInputs):
    """Believe that each input has one line, of which only the first may cross."""

    def __init__(self, ports: int) -> None:
        super().__init__(ports)
        self.order: list[list[int]] = [[] for _ in range(ports)]

    def join(self, number: int, output: int, name: str) -> Any:
        self.order[number].append(output)
        super().join(number, output, name)

    def do_lack(self, matched: Matched) -> bool:
        return any(
            output is not None and self.order[number][:1] != [output]
            for number, output in enumerate(matched)
        )

    def taken(self, number: int, output: int) -> Any:
        self.order[number].remove(output)
        return super().taken(number, output)


class NewestFirst(RightInputs):
    """Believe that the newest cell of a line crosses, as from a pile."""

    def taken(self, number: int, output: int) -> Any:
        return self.cells[number][output].pop()


class CellsThatStay(RightInputs):
    """Believe that a cell that has crossed still waits."""

    def taken(self, number: int, output: int) -> Any:
        return self.cells[number][output][0]


class NamesByOutput(RightInputs):
    """Believe that the cells are told by the output to which they come."""

    def crossed(self, matched: Matched) -> Any:
        names = [None for _ in self.cells]
        for number, output in enumerate(matched):
            if output is not None:
                names[output] = self.taken(number, output)
        return names


class OutputsForNames(RightInputs):
    """Believe that the outputs are told to which cells cross."""

    def crossed(self, matched: Matched) -> Any:
        return [
            None if self.taken_or_none(number, output) is None else output
            for number, output in enumerate(matched)
        ]

    def taken_or_none(self, number: int, output: int | None) -> Any:
        """Take a cell out, if one is to cross."""
        return None if output is None else self.taken(number, output)


class OnlyThoseThatCross(RightInputs):
    """Believe that inputs that send nothing have no place in the list."""

    def crossed(self, matched: Matched) -> Any:
        return [name for name in super().crossed(matched) if name is not None]


class YesOrNo(RightInputs):
    """Believe that it is asked whether a cell waits, not how many."""

    def waiting(self) -> Any:
        return [[min(1, len(line)) for line in row] for row in self.cells]


class ByOutput(RightInputs):
    """Believe that there is a list for each output."""

    def waiting(self) -> Any:
        return [list(column) for column in zip(*super().waiting(), strict=True)]


class SumOfEachInput(RightInputs):
    """Believe that all cells of an input are counted together."""

    def waiting(self) -> Any:
        return [sum(row) for row in super().waiting()]


class OutputsTakeSeveral(RightInputs):
    """Believe that an output takes as many cells as come."""

    def do_meet(self, matched: Matched) -> bool:
        return False


class LowestOfThoseThatMeet(RightInputs):
    """Believe that of two that send to one output the lower input may."""

    def cross(self, matched: Matched) -> Any:
        kept = [
            None if output in matched[:number] else output for number, output in enumerate(matched)
        ]
        return super().cross(kept)


class WhoLacksStays(RightInputs):
    """Believe that an input without a cell just sends nothing, and the others cross."""

    def do_lack(self, matched: Matched) -> bool:
        return False


class NoneMeetsNone(RightInputs):
    """Believe that two inputs that send nothing meet as well."""

    def do_meet(self, matched: Matched) -> bool:
        return len(set(matched)) < len(matched)


class TakenUpToTheFault(RightInputs):
    """Believe that cells of inputs before the one that is wrong have crossed when it is found."""

    def refused(self, matched: Matched) -> Any:
        for number, output in enumerate(matched):
            if output is None:
                continue
            if output in matched[:number] or not self.cells[number][output]:
                return None
            self.taken(number, output)
        return None


class ListOfNothing(RightInputs):
    """Believe that a list of None is given where no cell may cross."""

    def refused(self, matched: Matched) -> Any:
        return [None for _ in matched]


class RaisedForNone(RightInputs):
    """Believe that what may not be is to be raised."""

    def refused(self, matched: Matched) -> Any:
        raise ValueError("these may not cross")


SHARED: dict[str, RightInputs] = {}


class InputsForAll:
    """Believe that all switches may keep their cells in one place."""

    def __init__(self, ports: int) -> None:
        SHARED["cells"] = RightInputs(ports)

    def __getattr__(self, method: str) -> Any:
        return getattr(SHARED["cells"], method)


NEW_INPUTS: dict[str, Callable[..., Any]] = {
    "one-line-for-each-input": OneLine,
    "newest-first": NewestFirst,
    "cells-that-stay": CellsThatStay,
    "names-by-output": NamesByOutput,
    "outputs-for-names": OutputsForNames,
    "only-those-that-cross": OnlyThoseThatCross,
    "yes-or-no": YesOrNo,
    "waiting-by-output": ByOutput,
    "sum-of-each-input": SumOfEachInput,
    "outputs-take-several": OutputsTakeSeveral,
    "lowest-of-those-that-meet": LowestOfThoseThatMeet,
    "who-lacks-sends-nothing": WhoLacksStays,
    "none-meets-none": NoneMeetsNone,
    "taken-up-to-the-fault": TakenUpToTheFault,
    "list-of-nothing": ListOfNothing,
    "raised-for-none": RaisedForNone,
    "one-place-for-all": InputsForAll,
}
