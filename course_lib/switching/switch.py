"""An N x N switch in slots: cells of one size come to inputs and leave from outputs.

In each slot: at most one cell comes to each input; the matching is asked once, or `speed_up` times,
and cells cross to their outputs; each output sends one cell. A cell that leaves in the slot in
which it came has waited 0 slots.

Where cells wait makes the difference:

* `INPUT`: one line at each input, first come, first served. Only its head may cross;
* `VIRTUAL`: a line for each output at each input ("virtual output queues");
* `OUTPUT`: cells cross at once, as if the switch were N times as fast; the matching is not asked.

No line has a limit, so nothing is lost: above saturation the lines at the inputs only grow.
"""

__all__ = [
    "PARTS",
    "SwitchMeasures",
    "SwitchRun",
    "Waiting",
    "measure_switch",
    "run_slots",
    "simulate_switch",
    "uniform_cells",
]

from enum import IntEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from course_lib.engine.compiled import ready
from course_lib.engine.machine_types import Counts, CountTable
from course_lib.engine.rules import run_with_rules
from course_lib.queueing.checks import chance, whole
from course_lib.queueing.lines import Lines, empty_lines, join, leave
from course_lib.switching.matching import (
    NONE,
    Matching,
    MatchRule,
    match_at_random,
    match_in_turn,
    random_matching,
)


class Waiting(IntEnum):
    """Where cells wait."""

    INPUT = 0
    VIRTUAL = 1
    OUTPUT = 2


# Plain numbers for the loop.
_INPUT, _VIRTUAL, _OUTPUT = (int(place) for place in Waiting)


class SwitchRun(NamedTuple):
    """A finished run, a row for each slot, a column for each input in which a cell came.

    `goes_to` is the cell's output and `left_slot` when it left; -1 for no cell, or not yet left.
    `books` has a row for each slot: came so far, left so far, waiting at inputs, and at outputs.
    """

    goes_to: CountTable
    left_slot: CountTable
    books: CountTable


class SwitchMeasures(NamedTuple):
    """Cells for each port and slot, offered and carried; mean wait of those that came and left."""

    offered: float
    carried: float
    wait_slots: float


class Crossbar(NamedTuple):
    """All that changes in the loop: the lines, and what the matching reads and writes."""

    inputs: Lines
    outputs: Lines
    requests: CountTable
    shown: CountTable  # a copy for the matching, which may do with it what it likes
    matched: Counts
    used: Counts  # for each output, the last time it was matched


def uniform_cells(ports: int, load: float, slots: int, random: np.random.Generator) -> CountTable:
    """Return cells for `simulate_switch`: in each slot and input one with chance `load`."""
    shape = (whole(1, "slots", slots), whole(1, "ports", ports))
    outputs = random.integers(0, ports, shape)
    return np.where(random.random(shape) < chance("load", load), outputs, NONE)


def simulate_switch(
    goes_to: ArrayLike,
    waiting: Waiting,
    matching: Matching | None = None,
    *,
    speed_up: int = 1,
    compiled: bool | None = None,
) -> SwitchRun:
    """Run the switch for as many slots as `goes_to` has rows; see `uniform_cells`.

    Raises RuleError if a rule of your own fails; see `own_rules`.

    Without a matching, one random round: then `Waiting.INPUT` is the switch of Karol et al. (1987),
    in which an output chooses evenly among the heads that want it.

    >>> from course_lib.switching.matching import round_robin_matching
    >>> both_want_output_0 = [[0, 0], [NONE, NONE]]
    >>> run = simulate_switch(
    ...     both_want_output_0, Waiting.VIRTUAL, round_robin_matching(2), compiled=False
    ... )
    >>> run.left_slot[0].tolist()
    [0, 1]
    """
    cells = _checked(goes_to)
    slots, ports = cells.shape
    matching = matching or random_matching()
    _check_memory(matching, ports)
    whole(1, "speed_up", speed_up)

    def run(compiled: bool | None) -> SwitchRun:
        left = np.full(slots * ports, NONE)
        books = np.zeros((slots, 4), np.int64)
        ready(run_slots, compiled=compiled)(
            cells.ravel(),
            int(waiting),
            speed_up,
            ready(matching.rule, MatchRule, compiled=compiled),
            np.array(matching.settings, np.int64),
            np.array(matching.memory, np.int64),
            _empty_crossbar(ports, slots * ports, ports if waiting == Waiting.VIRTUAL else 1),
            left,
            books,
        )
        return SwitchRun(cells, left.reshape(slots, ports), books)

    return run_with_rules(run, (matching.rule,), compiled)


def run_slots(
    goes_to: Counts,
    waiting: int,
    speed_up: int,
    match: MatchRule,
    settings: Counts,
    memory: Counts,
    crossbar: Crossbar,
    left: Counts,
    books: CountTable,
) -> None:
    """Fill in when each cell left, and the books. Cell `slot * ports + input` is numbered so."""
    inputs, outputs, requests, shown, matched, used = crossbar
    ports = len(matched)
    came, gone = 0, 0
    for slot in range(len(books)):
        for cell in range(slot * ports, (slot + 1) * ports):
            if goes_to[cell] != NONE:
                came += 1
                if waiting == _OUTPUT:
                    join(outputs, goes_to[cell], cell)
                else:
                    _stand_at_input(cell, goes_to, waiting, inputs, requests)
        for phase in range(0 if waiting == _OUTPUT else speed_up):
            shown[:], matched[:] = requests, NONE
            match(shown, settings, memory, matched)
            for i in range(ports):
                output = matched[i]
                if output == NONE:
                    continue
                if not 0 <= output < ports or requests[i, output] == 0:
                    raise ValueError("the matching sends from an input that has no cell to send")
                if used[output] == slot * speed_up + phase:
                    raise ValueError("the matching sends two cells to one output at a time")
                used[output] = slot * speed_up + phase
                join(outputs, output, _cross(i, output, goes_to, waiting, inputs, requests))
        for output in range(ports):
            if outputs.length[output] > 0:
                left[leave(outputs, output)] = slot
                gone += 1
        books[slot, 0], books[slot, 1] = came, gone
        books[slot, 2], books[slot, 3] = inputs.length.sum(), outputs.length.sum()


def _stand_at_input(
    cell: int, goes_to: Counts, waiting: int, inputs: Lines, requests: CountTable
) -> None:
    """Put a cell at the end of its line; it requests its output now, or once it is the head."""
    ports = len(requests)
    i, output = cell % ports, goes_to[cell]
    if waiting == _VIRTUAL:
        join(inputs, i * ports + output, cell)
        requests[i, output] += 1
    else:
        join(inputs, i, cell)
        requests[i, goes_to[inputs.first[i]]] = 1


def _cross(
    i: int, output: int, goes_to: Counts, waiting: int, inputs: Lines, requests: CountTable
) -> int:
    """Take the cell for this output from its line at input i; the next one may now request."""
    requests[i, output] -= 1
    if waiting == _VIRTUAL:
        return leave(inputs, i * len(requests) + output)
    cell = leave(inputs, i)
    if inputs.length[i] > 0:
        requests[i, goes_to[inputs.first[i]]] = 1
    return cell


def measure_switch(run: SwitchRun, from_slot: int = 0) -> SwitchMeasures:
    """Return what was offered, carried and waited from a slot on, to leave out the warm-up."""
    slots, ports = run.goes_to.shape
    if not 0 <= from_slot < slots:
        raise ValueError(f"from_slot must be 0 to {slots - 1}, not {from_slot}")
    offered = (run.goes_to[from_slot:] != NONE).sum()
    carried = (run.left_slot >= from_slot).sum()
    came, inputs = np.nonzero(run.left_slot[from_slot:] != NONE)
    waits = run.left_slot[from_slot:][came, inputs] - (came + from_slot)
    share = ports * (slots - from_slot)
    return SwitchMeasures(
        float(offered / share),
        float(carried / share),
        float(waits.mean()) if len(waits) else float("nan"),
    )


def _empty_crossbar(ports: int, cells: int, lines_per_input: int) -> Crossbar:
    return Crossbar(
        empty_lines(ports * lines_per_input, cells),
        empty_lines(ports, cells),
        np.zeros((ports, ports), np.int64),
        np.zeros((ports, ports), np.int64),
        np.full(ports, NONE),
        np.full(ports, NONE),
    )


def _checked(goes_to: ArrayLike) -> CountTable:
    cells = np.asarray(goes_to)
    if cells.ndim != 2 or not cells.size or cells.dtype.kind not in "iu":
        raise ValueError("goes_to must be a table of whole numbers, slots x ports")
    if cells.min() < NONE or cells.max() >= cells.shape[1]:
        raise ValueError(f"goes_to must hold outputs 0 to {cells.shape[1] - 1}, or -1 for no cell")
    return np.array(cells, np.int64, order="C")


def _check_memory(matching: Matching, ports: int) -> None:
    if matching.rule is match_in_turn and len(matching.memory) != 2 * ports:
        raise ValueError(f"this matching is for {len(matching.memory) // 2} ports, not {ports}")


# For `compiled.prepare`: the loop and the rules of this package.
PARTS = (
    (run_slots, None),
    *((rule, MatchRule) for rule in (match_at_random, match_in_turn)),
)
