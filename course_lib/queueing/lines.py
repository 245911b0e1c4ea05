"""Waiting lines: first in, first out, as many as needed, in four arrays.

Things that wait are numbers (a packet's place in the trace). Each knows who stands behind it, and
each line knows its first, its last and its length. Joining and leaving take the same short time
however long the line is, and no memory is ever asked for. Entries of things that are last or in no
line are left over from before and mean nothing: the lengths tell.
"""

__all__ = ["NOBODY", "Lines", "empty_lines", "join", "leave"]

from typing import NamedTuple

import numpy as np

from course_lib.engine.machine_types import Counts

NOBODY = -1


class Lines(NamedTuple):
    """`first`, `last`, `length` have an entry for each line, `behind` one for each thing."""

    first: Counts
    last: Counts
    length: Counts
    behind: Counts


def empty_lines(lines: int, things: int) -> Lines:
    """Return so many empty lines, for things numbered from 0."""
    return Lines(
        np.full(lines, NOBODY),
        np.full(lines, NOBODY),
        np.zeros(lines, np.int64),
        np.zeros(things, np.int64),
    )


def join(lines: Lines, line: int, thing: int) -> None:
    """Put `thing` at the end of a line."""
    if lines.length[line] == 0:
        lines.first[line] = thing
    else:
        lines.behind[lines.last[line]] = thing
    lines.last[line] = thing
    lines.length[line] += 1


def leave(lines: Lines, line: int) -> int:
    """Take the first thing out of a line that is not empty."""
    thing = int(lines.first[line])
    lines.first[line] = lines.behind[thing]
    lines.length[line] -= 1
    return thing
