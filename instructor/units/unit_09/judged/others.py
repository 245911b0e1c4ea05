"""Other right answers for exercise 9.3, each in a way of its own."""

__all__ = ["OTHERS"]

from collections import deque

Judgement = tuple[str, list[int]]
Table = list[list[int]]
Matched = list[int | None]


def judge_breadth_first(waiting: Table, matched: Matched) -> Judgement:
    """Search from all free inputs at once, the nearest ports first."""
    sender: dict[int, int] = {}
    for number, output in enumerate(matched):
        if output is not None:
            if output in sender or waiting[number][output] == 0:
                return "not legal", [number]
            sender[output] = number
    starts = [number for number, output in enumerate(matched) if output is None]
    paths = deque([number] for number in starts)
    seen: set[int] = set()
    while paths:
        path = paths.popleft()
        for output, cells in enumerate(waiting[path[-1]]):
            if not cells or output in seen:
                continue
            if output not in sender:
                longer = [*path, output]
                return "not maximal" if len(longer) == 2 else "not maximum", longer
            seen.add(output)
            paths.append([*path, output, sender[output]])
    return "maximum", []


def judge_by_a_larger_one(waiting: Table, matched: Matched) -> Judgement:
    """Build a matching with one pair more, and read the path off the difference."""
    ports = range(len(waiting))
    wrong = [
        i
        for i in ports
        if matched[i] is not None and (not waiting[i][matched[i] or 0] or matched[i] in matched[:i])
    ]
    if wrong:
        return "not legal", wrong[:1]
    larger = {output: i for i, output in enumerate(matched) if output is not None}

    def place(i: int, tried: set[int]) -> bool:
        for output in ports:
            if waiting[i][output] and output not in tried:
                tried.add(output)
                if output not in larger or place(larger[output], tried):
                    larger[output] = i
                    return True
        return False

    free = [i for i in ports if matched[i] is None]
    for i in free:
        for output in ports:
            if output not in larger and waiting[i][output]:
                return "not maximal", [i, output]
    for i in free:
        if place(i, set()):
            sends = {one: output for output, one in larger.items()}
            path = [i, sends[i]]
            while path[-1] in matched:
                now = matched.index(path[-1])
                path += [now, sends[now]]
            return "not maximum", path
    return "maximum", []


def judge_backwards(waiting: Table, matched: Matched) -> Judgement:
    """Search for the path from the free outputs back."""
    taken: list[int] = []
    for i, output in enumerate(matched):
        if output is None:
            continue
        if output in taken or waiting[i][output] < 1:
            return "not legal", [i]
        taken.append(output)
    ports = list(range(len(matched)))
    idle = [output for output in ports if output not in taken]
    pairs = [[i, o] for i in ports for o in idle if matched[i] is None and waiting[i][o]]
    if pairs:
        return "not maximal", min(pairs)
    stack = [[output] for output in idle]
    while stack:
        path = stack.pop()
        for i in ports:
            output = matched[i]
            if not waiting[i][path[0]] or output == path[0]:
                continue
            if output is None:
                return "not maximum", [i, *path]
            if output not in path[::2]:
                stack.append([output, i, *path])
    return "maximum", []


OTHERS = (judge_breadth_first, judge_by_a_larger_one, judge_backwards)
