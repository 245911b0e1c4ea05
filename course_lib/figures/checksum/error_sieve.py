"""Draw damaged headers as drops that rain on a sieve, which is the check.

A drop is a header of the last rain. The noticed ones stay on the sieve; in the place of a missed
one it has a hole. Missed ones lie in the tray below, those of earlier rains of the kind among them.
A header that the damage left as it was stays on the sieve as a ring. Each can be pressed ("open").
"""

__all__ = ["HEIGHT", "ErrorSieve"]

from course_lib.figures.checksum.damage_record import DROPS, TRAY, DamageRecord, Fate, fate_of
from course_lib.figures.checksum.share_axes import LEFT, RIGHT
from course_lib.figures.drawing.scene import Part, Press
from course_lib.figures.drawing.svg import box, element, group, label, path

HEIGHT = 120.0
_DROP_Y, _SIEVE_Y, _TRAY_Y, _TRAY_HEIGHT = 48.0, 55.0, 68.0, 24.0
_SMALL = 12.5
_LEGEND: dict[Fate, float] = {"noticed": 178.0, "missed": 104.0, "unchanged": 42.0}


class ErrorSieve:
    """The sieve under `top`; `opened` is the value of the header that lies open, if one does."""

    def __init__(self, record: DamageRecord, kind: int, top: float, opened: str | None) -> None:
        self._record, self._kind, self._top, self._opened = record, kind, top, opened
        self._fates = [fate_of(record.header, one) for one in record.drops]

    @property
    def rain_in_words(self) -> str:
        """Say which headers are drawn on the sieve."""
        record = self._record
        if not record.drops:
            return "Press a kind of damage: headers rain on the check."
        shown = f"the first {len(record.drops)} of {record.rained:,}"
        return f"{record.counts.kind}: {shown if record.rained > DROPS else 'all of the rain'}"

    @property
    def tray_in_words(self) -> str:
        """Say which headers lie in the tray."""
        shown, missed = len(self._record.tray), self._record.counts.missed
        if not missed:
            return "tray: none missed" if self._record.drops else "tray: empty"
        return f"tray: {f'{shown} of {missed:,}' if shown < missed else f'all {missed}'} missed"

    @property
    def fates_in_words(self) -> str:
        """Count what became of the drops that are drawn."""
        counts = {fate: self._fates.count(fate) for fate in _LEGEND}
        return ", ".join(f"{number} {fate}" for fate, number in counts.items() if number)

    def parts(self) -> list[Part]:
        """Return sieve, tray, and a part for each header."""
        top, tray = self._top, self._top + _TRAY_Y
        missed = [place for place, fate in enumerate(self._fates) if fate == "missed"]
        shown: list[Fate] = ["noticed", "missed", "unchanged"]
        if "unchanged" not in self._fates:
            shown.remove("unchanged")
        words = (
            label(self.rain_in_words, LEFT - 8, top + 14, "ink", _SMALL)
            + label(self.tray_in_words, LEFT - 8, tray + _TRAY_HEIGHT + 18, "ink", _SMALL)
        )  # fmt: skip
        legend = "".join(self._legend(fate, tray + _TRAY_HEIGHT + 18) for fate in shown)
        tray_box = box("box", LEFT - 8, tray, RIGHT - LEFT + 16, _TRAY_HEIGHT, 4)
        return [
            Part("sieve", words + legend + tray_box + path("expected", self._mesh(missed))),
            *self._drops(),
            *(
                Part(f"missed {self._kind} {place}", self._falling(
                    f"tray {place}", f"missed header {place + 1} of the tray", "missed",
                    self._tray_x(place), tray + _TRAY_HEIGHT / 2))
                for place in range(len(self._record.tray))
            ),
        ]  # fmt: skip

    def touches(self) -> list[Press]:
        """Return a press for each header that is drawn."""
        number, kind = self._record.rain, self._record.counts.kind
        drops = [
            Press(
                f"drop {self._kind} {number} {place}",
                f"{kind}, header {place + 1} of the rain, {fate}: open it",
                "open",
                f"drop {place}",
            )
            for place, fate in enumerate(self._fates)
            if fate != "missed"
        ]
        tray = [
            Press(f"missed {self._kind} {place}",
                  f"{kind}, missed header {place + 1} of the tray: open it", "open",
                  f"tray {place}")
            for place in range(len(self._record.tray))
        ]  # fmt: skip
        return [*drops, *tray]

    def _drops(self) -> list[Part]:
        y, number = self._top + _DROP_Y, self._record.rain
        return [
            Part(f"drop {self._kind} {number} {place}", self._falling(
                f"drop {place}", f"header {place + 1} of the rain, {fate}", fate,
                self._drop_x(place), y))
            for place, fate in enumerate(self._fates) if fate != "missed"
        ]  # fmt: skip

    def _falling(self, value: str, tip: str, fate: Fate, x: float, y: float) -> str:
        ring = element("circle", cx=x, cy=y, r=7.5, class_="chosen")
        drawn = group(tip, box("hit", x - 5.5, y - 10, 11, 20), _mark(fate, x, y),
                      ring if value == self._opened else "")  # fmt: skip
        return element("g", drawn, class_="hop-falls")

    def _mesh(self, holes: list[int]) -> str:
        """Return the line of the sieve, with a gap in the place of each missed header."""
        y, half = self._top + _SIEVE_Y, (self._drop_x(1) - self._drop_x(0)) / 2
        ends = [self._drop_x(0) - half]
        for place in holes:
            ends += [self._drop_x(place) - half, self._drop_x(place) + half]
        ends.append(self._drop_x(DROPS - 1) + half)
        return "".join(f"M{a:g} {y:g}H{b:g}" for a, b in zip(ends[::2], ends[1::2], strict=True))

    @staticmethod
    def _drop_x(place: int) -> float:
        return LEFT + (place + 0.5) * (RIGHT - LEFT) / DROPS

    @staticmethod
    def _tray_x(place: int) -> float:
        return LEFT + (place + 0.5) * (RIGHT - LEFT) / TRAY

    def _legend(self, fate: Fate, y: float) -> str:
        x = RIGHT - _LEGEND[fate] - (0 if "unchanged" in self._fates else -30)
        return _mark(fate, x, y - 4) + label(fate, x + 9, y, "quiet", _SMALL)


def _mark(fate: Fate, x: float, y: float) -> str:
    """Draw a full circle for noticed, a diamond for missed, a ring for unchanged."""
    if fate == "missed":
        return path("alert", f"M{x:g} {y - 5.5:g}l5.5 5.5l-5.5 5.5l-5.5 -5.5z")
    look = "calm" if fate == "noticed" else "neither"
    return element("circle", cx=x, cy=y, r=4.5, class_=look)
