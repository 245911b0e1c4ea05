"""Draw what happens between places as rungs of a ladder: a row for each moment, time downward.

A frame is an arrow from the line of who sent it to the line of who got it. On it stand a box with
its number of octets, as packets have it everywhere, what it is about, and at its head the hardware
address for which it is. A frame that is lost ends half-way at a cross.
"""

__all__ = ["Rows"]

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from course_lib.figures.drawing.letters import width_of
from course_lib.figures.drawing.scene import Part, Slide
from course_lib.figures.drawing.svg import box, element, group, label, path
from course_lib.figures.network.ladder_words import Frame, read_frame, time_words
from course_lib.tracing.exchange import Moment, Travel

_SMALL, _TOKEN, _HIGHEST = 12.5, 14.0, 23.0  # pixels
_PAUSE_S = 0.1  # longer times between two rows are marked
_TIME_X = 16.0


@dataclass(frozen=True, slots=True)
class Rows:
    """Where rows lie: the lines of the places by name, the top, and the room for all rows."""

    moments: Sequence[Moment]
    lines: Mapping[str, float]
    top: float
    height: float
    right: float  # as far as words may go
    draggable: str  # the place whose answers can be dragged off their way

    @property
    def pitch(self) -> float:
        """The height of a row."""
        return min(_HIGHEST, self.height / max(1, len(self.moments)))

    def y(self, row: int) -> float:
        """Return where the line of a row runs."""
        return self.top + (row + 1) * self.pitch - 3

    def life_lines(self, until: int) -> list[Part]:
        """Return the lines of all places, dashed where nothing has happened yet."""
        now, end = self.top + until * self.pitch, self.top + self.height
        return [
            Part(f"line {place}", path("axis", f"M{x:g} {self.top:g}V{now:g}")
                 + path("gap", f"M{x:g} {now:g}V{end:g}"))
            for place, x in self.lines.items()
        ]  # fmt: skip

    def cursor(self, row: int) -> Part:
        """Return the mark of the newest row."""
        return Part("cursor", box("chosen", 8, self.y(row) - self.pitch + 3, self.right, self.pitch,
                                  3))  # fmt: skip

    def drawn(self, row: int) -> list[Part]:
        """Return the parts of a row."""
        moment, y = self.moments[row], self.y(row)
        parts = [Part(f"time {row}", label(time_words(moment.time_s), _TIME_X, y - 3, "quiet",
                                           _SMALL))]  # fmt: skip
        if row and moment.time_s - self.moments[row - 1].time_s > _PAUSE_S:
            line = path("gap", f"M{_TIME_X:g} {y - self.pitch + 1:g}H{self.right:g}")
            parts.append(Part(f"pause {row}", line))
        if moment.travel is not None:
            parts.append(self._arrow(row, moment.travel, y))
            if self.can_be_dragged(moment):
                parts.append(self._knob(moment.travel, y))
        return parts + self._notes(row, moment, y)

    def can_be_dragged(self, moment: Moment) -> bool:
        """Return True for an answer of the place whose answers can be dragged."""
        answer = moment.travel.answer if moment.travel else None
        return answer is not None and answer[0] == self.draggable

    def slide(self, travel: Travel) -> Slide:
        """Return how an answer is dragged: 0 is where it arrives, 1 where it is lost."""
        end, middle = self.lines[travel.target], self._middle(travel)
        number = travel.answer[1] if travel.answer else 0
        return Slide(
            f"answer {number}", f"Answer {number} of {travel.origin}", f"lose {number}", end,
            middle, 0, 1, int(not travel.arrives), "arrives" if travel.arrives else "is lost",
        )  # fmt: skip

    def _middle(self, travel: Travel) -> float:
        return (self.lines[travel.origin] + self.lines[travel.target]) / 2

    def _arrow(self, row: int, travel: Travel, y: float) -> Part:
        frame = read_frame(travel.octets)
        start, end = self.lines[travel.origin], self.lines[travel.target]
        way = 1 if end > start else -1
        last = end if travel.arrives else self._middle(travel)
        shapes = [path("axis", f"M{start:g} {y:g}H{last:g}")]
        if travel.arrives:
            head = f"M{end - way * 7:g} {y - 4:g}L{end:g} {y:g}l{-way * 7} 4"
            anchor = "end" if way > 0 else "start"
            shapes.append(path("axis", head))
            shapes.append(
                label(frame.destination, end - way * 11, y - 3, "ink strong", _SMALL, anchor)
            )
        else:
            shapes.append(label("lost", last + way * 10, y - 3, "ink strong", _SMALL,
                                "start" if way > 0 else "end"))  # fmt: skip
        shapes += _on_the_way(frame, start, way, y)
        return Part(f"frame {row}", group(frame.inside, *shapes))

    def _knob(self, travel: Travel, y: float) -> Part:
        x = self.lines[travel.target] if travel.arrives else self._middle(travel)
        number = travel.answer[1] if travel.answer else 0
        shape = element("circle", cx=x, cy=y, r=5.5, class_="neither")
        cross = (
            "" if travel.arrives else path("changed", f"M{x - 5:g} {y - 5:g}l10 10m-10 0l10 -10")
        )
        return Part(f"answer {number}", shape + cross)

    def _notes(self, row: int, moment: Moment, y: float) -> list[Part]:
        """Write what follows beside the line of its place, or in the next room that is free."""
        words = "; ".join(f"{place} {told}" for place, told in moment.notes)
        if not words:
            return []
        places = [self.lines[place] for place, _ in moment.notes]
        travel = moment.travel
        taken = max(self.lines[travel.origin], self.lines[travel.target]) if travel else 0.0
        x = max(min(places), taken) + 10
        if x + width_of(words, _SMALL) > self.right:
            words = "; ".join(told for _, told in moment.notes)
        return [Part(f"note {row}", label(words, x, y - 3, "ink strong haloed", _SMALL,
                                          room=self.right - x))]  # fmt: skip


def _on_the_way(frame: Frame, start: float, way: int, y: float) -> list[str]:
    """Draw the box with the octets next to the sender, and the word beside it."""
    width = width_of(f"{frame.octets}", _SMALL, "mono") + 6
    x = start + way * 8
    left = x if way > 0 else x - width
    look, ink = ("neither", "ink mono") if frame.is_question else ("calm", "on-mark mono strong")
    corner = 7 if frame.is_own else 3
    anchor = "start" if way > 0 else "end"
    return [
        box(look, left, y - _TOKEN - 1.5, width, _TOKEN, corner),
        label(f"{frame.octets}", left + width / 2, y - 4, ink, _SMALL, "middle"),
        label(frame.word, x + way * (width + 6), y - 3, "ink", _SMALL, anchor),
    ]
