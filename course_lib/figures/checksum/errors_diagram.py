"""Draw damage to a header and what the checksum makes of it: the whole figure of unit 02.

On the left stands one header with its sum, as in `sum_diagram`. On the right, for each kind of
damage, the share that was missed; below, the last rain of damaged headers on the sieve.
"""

__all__ = ["ErrorState", "error_scenes"]

from collections.abc import Mapping
from dataclasses import dataclass, field

from course_lib.figures.checksum.damage_record import DamageRecord
from course_lib.figures.checksum.error_sieve import HEIGHT, ErrorSieve
from course_lib.figures.checksum.error_words import right_in_words, right_table
from course_lib.figures.checksum.share_axes import RIGHT, ShareAxes
from course_lib.figures.checksum.sum_diagram import Beside, sum_scenes
from course_lib.figures.drawing.scene import Scene

_WIDTH = RIGHT + 29


@dataclass(frozen=True, slots=True)
class ErrorState:
    """All that the figure shows: the header as it was and as it is on the left, and the records.

    `headers` is how many a press damages, `chosen` the kind whose rain is shown, `opened` which of
    its headers lies open on the left: "drop 3", "tray 0". `guesses` are shares by kind.
    """

    before: bytes
    after: bytes
    records: tuple[DamageRecord, ...]
    headers: int
    chosen: int = 1
    opened: str | None = None
    guesses: Mapping[str, float] = field(default_factory=dict)


def error_scenes(state: ErrorState) -> tuple[Scene, ...]:
    """Return a scene for each step of the sum; in the last one all words have been added."""
    record = state.records[state.chosen]
    axes = ShareAxes(state.records, state.guesses, record.counts.kind)
    sieve = ErrorSieve(record, state.chosen, axes.foot, state.opened)
    right = Beside(
        (*axes.parts(), *sieve.parts()),
        (*axes.touches(state.headers), *sieve.touches()),
        tuple(right_table(state.records, state.guesses, sieve)),
        right_in_words(state.records, state.guesses, sieve),
        (_WIDTH, axes.foot + HEIGHT),
    )
    return sum_scenes(state.before, state.after, right)
