"""Other right answers for exercise 9.1, each in a way of its own."""

__all__ = ["OTHERS"]

from typing import Any

Crossing = tuple[list[Any], list[tuple[int, int, int]]]


def crossing_by_sorting(lines: list[list[int]]) -> Crossing:
    """Let inputs choose one after the other, the longest line first."""
    crosses: list[int | None] = [None] * len(lines)
    taken_by: dict[int, int] = {}
    for number in sorted(range(len(lines)), key=lambda one: -len(lines[one])):
        if lines[number] and lines[number][0] not in taken_by:
            taken_by[lines[number][0]] = number
            crosses[number] = lines[number][0]
    blocked = set()
    for number, line in enumerate(lines):
        if line and crosses[number] is None:
            for output in line[1:]:
                if output not in taken_by:
                    blocked.add((number, output, taken_by[line[0]]))
    return crosses, sorted(blocked)


def crossing_by_output(lines: list[list[int]]) -> Crossing:
    """Go from output to output, and then through all pairs."""
    ports = range(len(lines))
    sender: list[int | None] = []
    for output in ports:
        rivals = [number for number in ports if lines[number][:1] == [output]]
        longest = max((len(lines[number]) for number in rivals), default=0)
        sender.append(next((one for one in rivals if len(lines[one]) == longest), None))
    crosses = [sender.index(number) if number in sender else None for number in ports]
    blocked = []
    for number in ports:
        for output in ports:
            is_idle = sender[output] is None
            if is_idle and output in lines[number] and crosses[number] is None:
                winner = sender[lines[number][0]]
                assert winner is not None
                blocked.append((number, output, winner))
    return crosses, blocked


def crossing_by_duels(lines: list[list[int]]) -> Crossing:
    """Let whoever comes to an output throw out a shorter line."""
    crosses: list[int | None] = [None] * len(lines)
    for number, line in enumerate(lines):
        if not line:
            continue
        if line[0] not in crosses:
            crosses[number] = line[0]
            continue
        there = crosses.index(line[0])
        if len(lines[there]) < len(line):
            crosses[there], crosses[number] = None, line[0]
    idle = [output for output in range(len(lines)) if output not in crosses]
    return crosses, [
        (number, output, crosses.index(line[0]))
        for number, line in enumerate(lines)
        if line and crosses[number] is None
        for output in idle
        if output in line
    ]


OTHERS = (crossing_by_sorting, crossing_by_output, crossing_by_duels)
