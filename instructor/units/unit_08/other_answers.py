"""Other right answers for unit 08: at least three for each exercise, each in a way of its own."""

__all__ = ["OTHERS"]

from collections.abc import Callable, Mapping
from typing import Any

from instructor.units.unit_08.agreement.others import OTHERS as COMPARE_WITH_THEORY
from instructor.units.unit_08.lines.others import THREE_MEANS, WAITS_IN_LINE
from instructor.units.unit_08.meters.others import OTHERS as NEW_METER
from instructor.units.unit_08.rounds.others import OTHERS as NEW_ROUND_ROBIN
from instructor.units.unit_08.urgent.others import OTHERS as NEW_URGENT_FIRST

OTHERS: Mapping[str, tuple[Callable[..., Any], ...]] = {
    "8.1": WAITS_IN_LINE,
    "8.2": THREE_MEANS,
    "8.3": NEW_METER,
    "8.4": NEW_ROUND_ROBIN,
    "8.5": NEW_URGENT_FIRST,
    "8.6": COMPARE_WITH_THEORY,
}
