"""A switch whose inputs are always busy: the scene of workbook 09.

Two views of it. `watch_slots` follows a small switch slot by slot, with all requests, grants and
cells that cross. Its lines never run dry: each cell that leaves is followed by another.
`measure_saturation` runs the switch of `course_lib.switching` at full load, and says what share of
its outputs is busy.
"""

__all__ = [
    "BY_LOT",
    "IN_TURN",
    "MEASURED_PORTS",
    "ONE_LINE",
    "PORTS",
    "SWITCHES",
    "Cell",
    "WatchedSlot",
    "expected_share",
    "measure_saturation",
    "prepare_switch",
    "watch_slots",
]

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from course_lib.engine.compiled import Prepared, prepare
from course_lib.experiments.intervals import Band, confidence_band
from course_lib.switching.matching import NONE, Matching, random_matching, round_robin_matching
from course_lib.switching.switch import PARTS, Waiting, simulate_switch, uniform_cells
from course_lib.switching.theory import input_saturation, random_match_share

ONE_LINE, BY_LOT, IN_TURN = SWITCHES = (
    "one line at each input",
    "a line for each output, by lot",
    "a line for each output, in turn",
)
PORTS = 4  # of the switch that is watched
MEASURED_PORTS = (1, 2, 4, 8, 16)
_ONE_LINE_CELLS, _CELLS_FOR_EACH = 7, 2  # waiting at an input, or there for each output
_BATCHES, _WARM_UP = 10, 10  # the first half of a run only fills the lines


class Cell(NamedTuple):
    """A cell on its way, told apart by its number, and the output it is for."""

    number: int
    output: int


class WatchedSlot(NamedTuple):
    """A slot before its cells have crossed: `lines` has the cells of each input, first one first.

    `requested` says which inputs request each output, `granted` to which input each output grants
    (None where the rule does not tell), `matched` the output that each input sends to; -1: none.
    Pointers are those before the slot.
    """

    lines: tuple[tuple[Cell, ...], ...]
    requested: tuple[tuple[int, ...], ...]
    granted: tuple[int, ...] | None
    matched: tuple[int, ...]
    output_pointers: tuple[int, ...] = ()
    input_pointers: tuple[int, ...] = ()

    @property
    def crossed(self) -> int:
        """How many cells cross in this slot."""
        return sum(output != NONE for output in self.matched)

    @property
    def idle(self) -> tuple[int, ...]:
        """The outputs that get no cell."""
        return tuple(output for output in range(len(self.lines)) if output not in self.matched)

    def first(self, i: int, output: int) -> Cell:
        """Return the first cell at an input for an output."""
        return next(cell for cell in self.lines[i] if cell.output == output)


def prepare_switch() -> Prepared:
    """Make machine code of the switch and of its rules."""
    loops_and_rules: Any = PARTS
    return prepare(loops_and_rules)


def expected_share(switch: str, ports: int) -> float:
    """Return the share of busy outputs that theory expects, all lines full.

    >>> expected_share(BY_LOT, 2), expected_share(IN_TURN, 2)
    (0.75, 1.0)
    """
    if switch == ONE_LINE:
        return input_saturation(ports)
    return random_match_share(ports) if switch == BY_LOT else 1.0


def measure_saturation(switch: str, ports: int, slots: int, seed: int) -> Band:
    """Run the switch at full load; return the share of busy outputs in the second half."""
    slots -= slots % (_BATCHES + _WARM_UP)
    waiting = Waiting.INPUT if switch == ONE_LINE else Waiting.VIRTUAL
    cells = uniform_cells(ports, 1.0, slots, np.random.default_rng(seed))
    run = simulate_switch(cells, waiting, _matching(switch, ports, seed))
    left = np.diff(run.books[:, 1], prepend=0).reshape(_BATCHES + _WARM_UP, -1)[_WARM_UP:]
    return confidence_band(ports, (left.mean(axis=1) / ports).tolist())


def watch_slots(switch: str, slots: int, seed: int) -> list[WatchedSlot]:
    """Return what happens in the first slots of a small switch that begins with full lines."""
    random, watched = np.random.default_rng(seed), []
    rule, settings, memory = _matching(switch, PORTS, seed)
    memory_now, numbers = np.array(memory, np.int64), iter(range(10**9))
    lines = [
        [Cell(next(numbers), output) for output in _outputs_at_first(switch, random)]
        for _ in range(PORTS)
    ]
    for _ in range(slots):
        requests, matched = _requests(switch, lines), np.full(PORTS, NONE)
        pointers = tuple(memory_now.tolist()) if switch == IN_TURN else ()
        rule(requests.copy(), np.array(settings, np.int64), memory_now, matched)
        requested = tuple(tuple(np.flatnonzero(requests[:, j]).tolist()) for j in range(PORTS))
        watched.append(WatchedSlot(
            tuple(map(tuple, lines)), requested, _granted(requested, pointers[:PORTS]),
            tuple(matched.tolist()), pointers[:PORTS], pointers[PORTS:],
        ))  # fmt: skip
        for i, output in enumerate(watched[-1].matched):
            if output != NONE:
                lines[i].remove(watched[-1].first(i, output))
                follows = output if switch != ONE_LINE else int(random.integers(PORTS))
                lines[i].append(Cell(next(numbers), follows))
    return watched


def _matching(switch: str, ports: int, seed: int) -> Matching:
    return round_robin_matching(ports) if switch == IN_TURN else random_matching(seed=seed)


def _outputs_at_first(switch: str, random: np.random.Generator) -> list[int]:
    if switch == ONE_LINE:
        return [int(output) for output in random.integers(0, PORTS, _ONE_LINE_CELLS)]
    return [int(output) for output in random.permuted(np.repeat(range(PORTS), _CELLS_FOR_EACH))]


def _requests(switch: str, lines: list[list[Cell]]) -> NDArray[np.int64]:
    requests = np.zeros((PORTS, PORTS), np.int64)
    for i, line in enumerate(lines):
        for cell in line[:1] if switch == ONE_LINE else line:
            requests[i, cell.output] += 1
    return requests


def _granted(
    requested: tuple[tuple[int, ...], ...], pointers: tuple[int, ...]
) -> tuple[int, ...] | None:
    """Return the first request at or after the pointer of each output, where pointers are."""
    if not pointers:
        return None
    return tuple(
        min(inputs, key=lambda i: (i - pointer) % PORTS, default=NONE)
        for inputs, pointer in zip(requested, pointers, strict=True)
    )
