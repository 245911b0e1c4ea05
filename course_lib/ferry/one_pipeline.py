"""A pipeline drawn over its clock: which packet is in which stage in which cycle.

Packets are all there at the start, and keep their order. Each stage begins with one as soon as the
stage before is done with it and a unit of its own is free. A stage of several units has a lane for
each. A cycle lasts 10 ns.
"""

__all__ = ["CYCLE_S", "pipeline_timeline"]

from collections.abc import Sequence

from course_lib.queueing.checks import whole
from course_lib.tracing.timeline import Timeline

CYCLE_S = 1e-8  # a clock of 100 MHz

Stage = tuple[str, int, int]  # its name, cycles for a packet, packets at once
Changes = dict[tuple[int, str], int | None]  # by cycle and lane: the packet that is there then


def pipeline_timeline(
    stages: Sequence[Stage], packets: int = 6, host: tuple[int, int] | None = None
) -> Timeline:
    """Return when packets 1, 2, ... are in each stage.

    `host` says for how many cycles a host processor is busy with a packet, and that every so
    manieth packet is diverted to it behind the last stage.

    >>> timeline = pipeline_timeline([("parse", 2, 1), ("edit", 3, 1)], packets=2)
    >>> [change[:2] for change in timeline.changes if change.value == 2]
    [(2, 'parse'), (5, 'edit')]
    """
    done = [0] * whole(1, "packets", packets)
    changes: Changes = {}
    for stage in stages:
        _go_through(stage, range(packets), done, changes)
    if host is not None:
        cycles, every = host
        diverted = range(whole(1, "every", every) - 1, packets, every)
        _go_through(("host", cycles, 1), diverted, done, changes)
    timeline = Timeline(CYCLE_S)
    for (cycle, lane), packet in sorted(changes.items(), key=lambda change: change[0][0]):
        timeline.record(cycle * CYCLE_S, lane, packet)
    return timeline


def _go_through(stage: Stage, packets: Sequence[int], done: list[int], changes: Changes) -> None:
    """Lead packets through a stage: note when they enter and leave, and when each is done."""
    name, cycles, units = stage
    free = [0] * whole(1, "units", units)
    for packet in packets:
        unit = min(range(units), key=free.__getitem__)
        lane = name if units == 1 else f"{name} {unit + 1}"
        begins = max(done[packet], free[unit])
        done[packet] = free[unit] = begins + whole(1, "cycles", cycles)
        changes[begins, lane] = packet + 1  # in the place of "nobody", where one follows at once
        changes[done[packet], lane] = None
