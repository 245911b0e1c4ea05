"""Damage a header, by hand and many times at random, and see what its checksum misses.

By keyboard: Tab goes to the bits, arrows lead from one to the next, Space flips; Tab goes on to the
flags, which arrows move, to the kinds of damage and to the drops, and to what plays the sum.

The picture is `course_lib.figures.checksum.errors_diagram`, the numbers come from
`course_lib.headers.error_injection`. What the figure is, is one value, an `ErrorState`.
"""

__all__ = ["ErrorExplorer", "explore_errors"]

import functools
from collections.abc import Iterator, Mapping
from dataclasses import replace

from course_lib.figures.checksum.damage_record import DamageRecord
from course_lib.figures.checksum.errors_diagram import ErrorState, error_scenes
from course_lib.figures.checksum.share_axes import percent, share_of_guess
from course_lib.figures.checksum.sum_words import flip_in_words
from course_lib.figures.checksum.word_columns import WordColumns
from course_lib.figures.headers.header_fields import with_flipped_bit
from course_lib.figures.headers.header_words import counted
from course_lib.headers.error_injection import KINDS
from course_lib.widgets.touch.as_written import RefusedError
from course_lib.widgets.touch.touch_figure import Action, Button, Choice, Picture, TouchFigure

_HEADERS = {f"{number:,}": number for number in (100, 1_000, 10_000, 100_000)}
_FIRST_BATCH, _LARGER_BATCH = 10_000, 30_000  # something is seen early, and none takes long
_HOW = (
    "Flip bits on the left. Drag a flag to your guess, then press its kind of damage: headers rain "
    "on the check."
)


def explore_errors(
    header: bytes, *, guesses: Mapping[str, float | None] | None = None
) -> "ErrorExplorer":
    """Show what becomes of `header` when it is damaged.

    `guesses` maps kinds of damage to the share, in percent, that the reader thinks is missed; None
    is no guess. `header` must pass the check, and have an even number of octets. Raises
    `ValueError` otherwise, for a kind that is not in `KINDS`, and for a guess outside 0 to 100.
    """
    return ErrorExplorer(header, {k: one for k, one in (guesses or {}).items() if one is not None})


class ErrorExplorer(TouchFigure):
    """The live figure of damaged headers; `state` is what it shows now."""

    def __init__(self, header: bytes, guesses: Mapping[str, float]) -> None:
        for kind, guess in guesses.items():
            if kind not in KINDS or not 0 <= guess <= 100:
                raise ValueError(f"{kind!r}: {guess!r} is no guess: a kind, and 0 to 100 percent")
        records = tuple(DamageRecord.empty(bytes(header), kind) for kind in KINDS)
        shares = {kind: guess / 100 for kind, guess in guesses.items()}
        self._start = self.state = ErrorState(
            records[0].header, records[0].header, records, headers=1_000, guesses=shares
        )
        actions: dict[str, Action] = {
            "flip": self._flipped,
            "damage": self._damaged,
            "open": self._opened,
            "headers": self._chosen,
            "mend": self._mended,
            "again": self._restarted,
            **{f"guess {n}": functools.partial(self._guessed, n) for n in range(len(KINDS))},
        }
        super().__init__(self._draw(_HOW), actions)

    def _flipped(self, bit: int) -> Picture:
        after = with_flipped_bit(self.state.after, bit)
        self.state = replace(self.state, after=after, opened=None)
        return self._draw(flip_in_words(WordColumns.of(self.state.before, after), bit))

    def _damaged(self, place: int) -> Iterator[Picture]:
        """Damage as many headers as were chosen, a small batch first, then larger ones."""
        left, batch = self.state.headers, _FIRST_BATCH
        self.state = replace(self.state, chosen=place, opened=None, after=self.state.before)
        begins = True
        while left:
            size = min(left, batch)
            record = self.state.records[place].after(size, begins=begins)
            records = [*self.state.records]
            records[place] = record
            self.state = replace(self.state, records=tuple(records))
            left, batch, begins = left - size, _LARGER_BATCH, False
            yield self._draw(_in_words(record))

    def _opened(self, which: str) -> Picture:
        """Show a damaged header on the left: "drop 3" is one of the rain, "tray 0" a missed one."""
        kept, _, place = which.partition(" ")
        record = self.state.records[self.state.chosen]
        headers = record.drops if kept == "drop" else record.tray
        if int(place) >= len(headers):
            raise RefusedError("This header is no longer there.")
        self.state = replace(self.state, after=headers[int(place)], opened=which)
        where = "of the rain" if kept == "drop" else "of the tray"
        return self._draw(
            f"On the left lies header {int(place) + 1} {where}, damaged by {record.counts.kind}."
        )

    def _guessed(self, place: int, flag: int) -> Picture:
        record = self.state.records[place]
        if record.counts.trials:
            raise RefusedError("The answer is out already. Start again to guess anew.")
        kind, share = record.counts.kind, share_of_guess(flag)
        guesses = {one: other for one, other in self.state.guesses.items() if one != kind}
        words = f"No guess for {kind}."
        if share is not None:
            guesses[kind] = share
            words = f"Your guess for {kind}: {100 * share:.10g} %. Now press “{kind}”."
        self.state = replace(self.state, guesses=guesses)
        return self._draw(words, moves=False)

    def _chosen(self, headers: str) -> Picture:
        self.state = replace(self.state, headers=_HEADERS[headers])
        return self._draw(f"Each press damages {headers} headers.")

    def _mended(self, _: None) -> Picture:
        self.state = replace(self.state, after=self.state.before, opened=None)
        return self._draw("The header on the left is as it was.")

    def _restarted(self, _: None) -> Picture:
        self.state = self._start
        return self._draw(_HOW)

    def _draw(self, change: str, *, moves: bool = True) -> Picture:
        scenes = error_scenes(self.state)
        controls = (
            Choice("headers", "Headers a press", tuple(_HEADERS), f"{self.state.headers:,}"),
            Button("mend", "Undo all flips"),
            Button("again", "Start again"),
        )
        return Picture(scenes, (change, f"{scenes[-1].words.title}."), controls, moves)


def _in_words(record: DamageRecord) -> str:
    counts = record.counts
    kind = counts.kind[0].upper() + counts.kind[1:]
    if not counts.errors:
        return f"{kind}: nothing has changed in {counted(counts.trials, 'header')}."
    shares = f"{percent(counts.missed_share)}; theory expects {percent(counts.expected_share)}"
    return f"{kind}: missed {counts.missed:,} of {counted(counts.errors, 'error')}, {shares}."
