"""Draw how often each kind of damage was missed: small rows on one logarithmic axis.

The axis never changes, so that rows and runs can be compared: 0.001 to 100 %, and apart from it a
place for 0. What lies between 0 and 0.001 % is drawn between the two. A row holds the measured
share with its 95 % interval, the share that theory expects as a dashed line, and the reader's own
guess as a flag; measured and expected share are there once something was damaged in this way, and
from then on the guess stays as it is.
"""

__all__ = ["AXIS_WORDS", "GUESSES", "ShareAxes", "percent", "share_of_guess"]

import math
from collections.abc import Mapping, Sequence

from course_lib.figures.checksum.damage_record import DamageRecord
from course_lib.figures.drawing.flags import flags
from course_lib.figures.drawing.letters import width_of
from course_lib.figures.drawing.scene import Part, Press, Slide, Touch
from course_lib.figures.drawing.svg import box, element, group, label, path

LEFT, RIGHT = 436.0, 766.0  # pixels
_TOP, _ROW, _LINE = 56.0, 54.0, 46.0  # of the first row, the height of each, its axis below its top
_SMALL, _FLAG_UP = 12.5, 26.0
_DECADES = ("0.001", "0.01", "0.1", "1", "10", "100")
_PER_DECADE = 10  # guesses
_NO_GUESS, _ZERO, _LESS, _FIRST = 0, 1, 4, 7  # places of guesses
GUESSES = range(_FIRST + _PER_DECADE * (len(_DECADES) - 1) + 1)
"""The places a flag may take: 0 is no guess, 1 to 6 are 0 %, then ten to each power of ten."""
AXIS_WORDS = f"0, then {', '.join(_DECADES)} percent"
_STEP = (RIGHT - LEFT) / (len(GUESSES) - 1)
_LEAST = 1e-5


def percent(share: float) -> str:
    """Return a share in percent, with as many digits as tell it from 0 and from 100.

    >>> percent(0.02838), percent(1 / 65_535), percent(0), percent(0.999996), percent(1)
    ('2.84 %', '0.0015 %', '0 %', '99.9996 %', '100 %')
    """
    value = 100 * share
    if value in (0, 100):
        return f"{value:.0f} %"
    low, high = 1 - math.floor(math.log10(value)), -math.floor(math.log10(100 - value))
    return f"{value:.{max(2, low, high)}f} %"


def share_of_guess(place: int) -> float | None:
    """Return the share for which a flag at a place stands, rounded as people would; None for none.

    >>> share_of_guess(0), share_of_guess(1), share_of_guess(41), share_of_guess(57)
    (None, 0.0, 0.025, 1.0)
    """
    if place <= _NO_GUESS:
        return None
    if place < _FIRST:
        return 0.0
    return float(f"{_LEAST * 10 ** ((place - _FIRST) / _PER_DECADE):.2g}")


class ShareAxes:
    """The rows of some kinds; `guesses` are shares by their kind, as far as there are any."""

    def __init__(
        self, records: Sequence[DamageRecord], guesses: Mapping[str, float], chosen: str
    ) -> None:
        self._records, self._guesses, self._chosen = records, guesses, chosen
        self.foot = self._line(len(records) - 1) + 24

    def parts(self) -> list[Part]:
        """Return a part for the axis, and for each row its axis, its button, counts and flag."""
        last = self._line(len(self._records) - 1)
        marks = [(self._x(0.0), "0"), *((self._x(float(one) / 100), one) for one in _DECADES[:-1])]
        marks.append((self._x(1.0), "100 %"))
        numbers = "".join(label(one, x, last + 19, "quiet", _SMALL, "middle") for x, one in marks)
        head = label("missed of all errors", LEFT - 8, _TOP - 9, "quiet", _SMALL) + _legend()
        parts = [Part("axis", head + numbers)]
        for place, record in enumerate(self._records):
            parts.append(Part(f"row {place}", self._row(place, record)))
            parts += self._flag(place, record)  # first guess, then press: so Tab goes as well
            parts.append(Part(f"kind {place}", self._button(place, record)))
            parts += self._measured(place, record)
        return parts

    def touches(self, headers: int) -> list[Touch]:
        """Return a press for each kind ("damage") and a slide for each guess that may change."""
        presses = [
            Press(
                f"kind {place}", f"Damage {headers:,} headers: {one.counts.kind}", "damage", place
            )
            for place, one in enumerate(self._records)
        ]
        slides = [
            Slide(f"guess {place}", f"Your guess: {one.counts.kind}", f"guess {place}",
                  LEFT, RIGHT, GUESSES[0], GUESSES[-1], self._guess_place(one),
                  self._guess_words(one))
            for place, one in enumerate(self._records) if not one.counts.trials
        ]  # fmt: skip
        return [*slides, *presses]

    def _line(self, place: int) -> float:
        return _TOP + place * _ROW + _LINE

    def _x(self, share: float) -> float:
        if share <= 0:
            return LEFT + _ZERO * _STEP
        if share < _LEAST:
            return LEFT + _LESS * _STEP
        return LEFT + (_FIRST + _PER_DECADE * math.log10(share / _LEAST)) * _STEP

    def _row(self, place: int, record: DamageRecord) -> str:
        y, counts = self._line(place), record.counts
        zero, least, most = self._x(0.0), self._x(_LEAST), self._x(1.0)
        ticks = "".join(f"M{self._x(float(one) / 100):g} {y - 4:g}v8" for one in _DECADES)
        words = "not damaged yet"
        if counts.trials:
            words = f"{counts.missed:,} of {counts.errors:,}"
            words += f": {percent(counts.missed_share)}" if counts.errors else ""
        look = "ink" if counts.trials else "quiet"
        room = RIGHT - LEFT + 10 - _button_width(counts.kind)
        return (
            path("axis", f"M{least:g} {y:g}H{most:g}M{zero:g} {y - 4:g}v8{ticks}")
            + path("gap", f"M{zero:g} {y:g}H{least:g}")
            + label(words, RIGHT + 8, y - _LINE + 14, look, _SMALL, "end", room)
        )

    def _button(self, place: int, record: DamageRecord) -> str:
        """Draw the name of a kind as a button, with a drop that falls."""
        x, y, name = LEFT - 8, self._line(place) - _LINE, record.counts.kind
        width = _button_width(name)
        outline = box("chosen", x, y, width, 18, 6) if name == self._chosen else ""
        return group(
            f"press to damage headers: {name}",
            box("box", x, y, width, 18, 6),
            path("calm", f"M{x + 7:g} {y + 6:g}h8l-4 7z"),
            label(name, x + 20, y + 13.5, "ink", _SMALL),
            outline,
        )

    def _measured(self, place: int, record: DamageRecord) -> list[Part]:
        """Draw dot and interval, and the dashed line of what theory expects."""
        counts, y = record.counts, self._line(place)
        if not counts.errors:
            return []
        low, high = record.interval
        x, left, right = self._x(counts.missed_share), self._x(low), self._x(high)
        expected = percent(counts.expected_share)
        tip = f"measured {percent(counts.missed_share)}, 95 % interval {percent(low)} to "
        shapes = group(
            f"{tip}{percent(high)}",
            path(
                "measured",
                f"M{left:g} {y:g}H{right:g}M{left:g} {y - 5:g}v10M{right:g} {y - 5:g}v10",
            ),
            element("circle", cx=x, cy=y, r=5.5, class_="alert"),
        )
        line = path("expected", f"M{self._x(counts.expected_share):g} {y - 13:g}v21")
        return [
            Part(f"expected {place}", group(f"theory expects {expected}", line)),
            Part(f"measured {place}", shapes),
        ]

    def _flag(self, place: int, record: DamageRecord) -> list[Part]:
        """Draw the guess; as long as there is none, an outline that can be dragged."""
        y, share = self._line(place), self._guesses.get(record.counts.kind)
        if share is not None:
            where = (self._x(share), f"your guess: {self._guess_words(record)}")
            flown = flags(y, (LEFT - 10, RIGHT + 20), guess=where, up=_FLAG_UP)
            return [Part(f"guess {place}", flown[0].markup)]
        if record.counts.trials:
            return []
        outline = path("gap", f"M{LEFT:g} {y:g}v-{_FLAG_UP:g}h94l-7 8.5l7 8.5h-94")
        words = label("your guess?", LEFT + 6, y - 13, "quiet", _SMALL)
        hit = box("hit", LEFT - 6, y - _FLAG_UP, 100, _FLAG_UP + 6)
        return [Part(f"guess {place}", group("drag to your guess", hit, outline, words))]

    def _guess_place(self, record: DamageRecord) -> int:
        share = self._guesses.get(record.counts.kind)
        if share is None:
            return _NO_GUESS
        return min(GUESSES, key=lambda place: abs(LEFT + place * _STEP - self._x(share)))

    def _guess_words(self, record: DamageRecord) -> str:
        share = self._guesses.get(record.counts.kind)
        return "none yet" if share is None else f"{100 * share:.10g} %"


def _button_width(name: str) -> float:
    return width_of(name, _SMALL) + 26


def _legend() -> str:
    """Say what dot and dashed line are, above the rows."""
    y = _TOP - 9
    return (
        path("measured", f"M{LEFT + 134:g} {y - 4:g}h20")
        + element("circle", cx=LEFT + 144, cy=y - 4, r=5.5, class_="alert")
        + label("seen, 95 % interval", LEFT + 160, y, "quiet", _SMALL)
        + path("expected", f"M{LEFT + 302:g} {y - 12:g}v16")
        + label("theory", LEFT + 308, y, "quiet", _SMALL)
    )
