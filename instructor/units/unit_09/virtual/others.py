"""Other right answers for exercise 9.2, each in a way of its own."""

__all__ = ["OTHERS"]

from collections import Counter, deque
from itertools import count


class InputsOfPairs:
    """A line for each pair that was ever used, in one map."""

    def __init__(self, ports: int) -> None:
        self.ports = ports
        self.lines: dict[tuple[int, int], deque[str]] = {}

    def join(self, number: int, output: int, name: str) -> None:
        """Let a cell wait."""
        self.lines.setdefault((number, output), deque()).append(name)

    def waiting(self) -> list[list[int]]:
        """Count."""
        none: deque[str] = deque()
        ports = range(self.ports)
        return [[len(self.lines.get((i, o), none)) for o in ports] for i in ports]

    def cross(self, matched: list[int | None]) -> list[str | None] | None:
        """Look up all lines first, and take from them only then."""
        pairs = [(i, o) for i, o in enumerate(matched) if o is not None]
        if len({o for _, o in pairs}) != len(pairs):
            return None
        if not all(self.lines.get(pair) for pair in pairs):
            return None
        names: list[str | None] = [None] * self.ports
        for pair in pairs:
            names[pair[0]] = self.lines[pair].popleft()
        return names


class InputsInOneList:
    """All cells of all inputs in one list, in the order in which they came."""

    def __init__(self, ports: int) -> None:
        self.ports = ports
        self.cells: list[tuple[int, int, str]] = []

    def join(self, number: int, output: int, name: str) -> None:
        """Let a cell wait."""
        self.cells.append((number, output, name))

    def waiting(self) -> list[list[int]]:
        """Count pairs."""
        found = Counter((number, output) for number, output, _ in self.cells)
        return [[found[i, o] for o in range(self.ports)] for i in range(self.ports)]

    def cross(self, matched: list[int | None]) -> list[str | None] | None:
        """Work on a copy, which counts only if all goes well."""
        left = list(self.cells)
        names: list[str | None] = []
        taken: set[int] = set()
        for number, output in enumerate(matched):
            if output is None:
                names.append(None)
                continue
            if output in taken:
                return None
            taken.add(output)
            cell = next((one for one in left if one[:2] == (number, output)), None)
            if cell is None:
                return None
            left.remove(cell)
            names.append(cell[2])
        self.cells = left
        return names


class InputsByTicket:
    """Each cell has a ticket; the smallest of a pair is the first of its line."""

    def __init__(self, ports: int) -> None:
        self.table: list[list[dict[int, str]]] = [[{} for _ in range(ports)] for _ in range(ports)]
        self.tickets = count()

    def join(self, number: int, output: int, name: str) -> None:
        """Give a cell a ticket."""
        self.table[number][output][next(self.tickets)] = name

    def waiting(self) -> list[list[int]]:
        """Count tickets."""
        return [list(map(len, row)) for row in self.table]

    def cross(self, matched: list[int | None]) -> list[str | None] | None:
        """Try, and give back what was taken if something is wrong."""
        undo: list[tuple[dict[int, str], int, str]] = []
        names: list[str | None] = []
        sent = [output for output in matched if output is not None]
        is_fine = all(sent.count(output) == 1 for output in sent)
        for row, output in zip(self.table, matched, strict=True):
            if output is None:
                names.append(None)
            elif row[output]:
                ticket = min(row[output])
                names.append(row[output].pop(ticket))
                undo.append((row[output], ticket, names[-1] or ""))
            else:
                is_fine = False
        if is_fine:
            return names
        for line, ticket, name in undo:
            line[ticket] = name
        return None


OTHERS = (InputsOfPairs, InputsInOneList, InputsByTicket)
