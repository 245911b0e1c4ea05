"""Workbooks with real packets in them, for tests that have no need of these.

A private network in each test of a workbook would cost more than it shows. So one test lets the
real packets flow, for a short time, and all others have the simulated network in their place.
"""

import copy

__all__ = ["for_a_short_time", "without_real_packets"]

TRIES, NONE = (
    "ability = live_ability()",
    "from course_lib.live.ability import Ability\n"
    'ability = Ability(False, "trial", "a test stands in the way", "Let it.")',
)
LONG, SHORT = "length_s=6, from_s=2,", "length_s=2, from_s=0.5,"


def without_real_packets(workbook):
    """Return the workbook for a machine on which no private network can be had."""
    return _replaced(workbook, TRIES, NONE)


def for_a_short_time(workbook):
    """Return the workbook with transfers that last as long as is enough to see them."""
    return _replaced(workbook, LONG, SHORT)


def _replaced(workbook, old, new):
    done = copy.deepcopy(workbook)
    for cell in done.cells:
        if cell.cell_type == "code":
            cell.source = cell.source.replace(old, new)
    return done
