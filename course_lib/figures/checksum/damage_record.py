"""What became of headers that were damaged in one way: the counts of all, and some to look at.

The counts are those of `course_lib.headers.error_injection`, added up over any number of batches.
Kept to be looked at are the first headers of the last rain, and the first of all that were missed.
"""

__all__ = ["DROPS", "TRAY", "DamageRecord", "Fate", "fate_of"]

from dataclasses import dataclass, replace
from typing import Literal

from course_lib.checksum import are_intact, is_intact
from course_lib.experiments.intervals import wilson_interval
from course_lib.headers.error_injection import ErrorCounts, counted_fates, damaged

DROPS, TRAY = 30, 20  # how many headers of a rain, and how many missed ones, can be looked at

Fate = Literal["noticed", "missed", "unchanged"]


def fate_of(header: bytes, after: bytes) -> Fate:
    """Return what the check makes of a header that came out as `after`."""
    if after == header:
        return "unchanged"
    return "missed" if is_intact(after) else "noticed"


@dataclass(frozen=True, slots=True)
class DamageRecord:
    """All damage of one kind to one header so far. Before the first batch `counts` are zeros."""

    header: bytes
    counts: ErrorCounts
    batches: int = 0  # also the seed of the last one
    rain: int = 0  # the number of the batch with which the last rain began
    drops: tuple[bytes, ...] = ()  # the first headers of the last rain
    rained: int = 0  # how many headers fell in it
    tray: tuple[bytes, ...] = ()  # the first ones that were missed

    @classmethod
    def empty(cls, header: bytes, kind: str) -> "DamageRecord":
        """Return the record of a header that was never damaged in this way.

        Raises `ValueError` for a header or a kind that `inject` refuses.
        """
        rows = damaged(header, kind, 1, seed=0)[:0]
        return cls(header, counted_fates(header, kind, rows))

    @property
    def interval(self) -> tuple[float, float]:
        """Return between which shares the missed one lies, with 95 %."""
        errors = self.counts.errors
        return wilson_interval(self.counts.missed, errors) if errors else (0.0, 1.0)

    def after(self, trials: int, *, begins: bool) -> "DamageRecord":
        """Return the record with one more batch; `begins` says whether a new rain begins with it.

        Batch n is damaged with seed n, so the same touches lead to the same numbers.
        """
        seed, old = self.batches + 1, self.counts
        rows = damaged(self.header, old.kind, trials, seed)
        new = counted_fates(self.header, old.kind, rows)
        missing = rows[are_intact(rows)][: TRAY + new.unchanged]
        missed = [row.tobytes() for row in missing if row.tobytes() != self.header]
        record = replace(
            self,
            counts=old._replace(
                trials=old.trials + new.trials,
                noticed=old.noticed + new.noticed,
                missed=old.missed + new.missed,
                unchanged=old.unchanged + new.unchanged,
                missed_example=old.missed_example or new.missed_example,
            ),
            batches=seed,
            rained=trials if begins else self.rained + trials,
            tray=(*self.tray, *missed)[:TRAY],
        )
        if not begins:
            return record
        return replace(record, rain=seed, drops=tuple(row.tobytes() for row in rows[:DROPS]))
