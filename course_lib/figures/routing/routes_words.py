"""What is said of two protocols after a change: titles, what is told, what was lost, and tables."""

__all__ = ["Side", "loss_row", "routes_words", "telling"]

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from course_lib.ferry.changed_line import DESTINATIONS, Change, Story
from course_lib.figures.drawing.svg import Words
from course_lib.figures.routing.loss_axis import LossRow, axis_words, time_words
from course_lib.figures.routing.route_rows import Row, rows_of
from course_lib.routing.distance_vector_messages import INFINITY
from course_lib.routing.loops import find_loop
from course_lib.tracing.routing_talk import Table, Travel

_MOST_NAMES = 2  # that find room under a map


class Side(NamedTuple):
    """One protocol at a moment: tables, messages, who sends to whom, and who in a circle."""

    way: str
    tables: Mapping[str, Table]
    under_way: Mapping[int, Travel]
    next_hops: Mapping[str, tuple[str, ...]]
    loop: tuple[str, ...] | None

    @classmethod
    def of(
        cls,
        way: str,
        tables: Mapping[str, Table],
        under_way: Mapping[int, Travel],
        destination: str,
        goal: str,
    ) -> "Side":
        """Return a side; packets go to `destination`, which stands at the router `goal`."""
        prefix = DESTINATIONS[destination]
        next_hops = {
            place: line.next_hops[:1]  # of several the first in the alphabet is taken
            for place, table in tables.items()
            if (line := table.get(prefix)) and line.metric < INFINITY and place != goal
        }
        return cls(way, tables, under_way, next_hops, find_loop(next_hops))

    def rows(self, place: str) -> tuple[Row, ...]:
        """Return the table of a router as it is written."""
        return rows_of(self.tables[place])


def telling(side: Side) -> str:
    """Return whose messages are under way."""
    tellers = list(dict.fromkeys(travel.origin for travel in side.under_way.values()))
    if len(tellers) > _MOST_NAMES:
        return f"Messages under way from {len(tellers)} routers"
    return f"Messages under way from {', '.join(tellers)}" if tellers else "No news under way"


def loss_row(
    story: Story, change: Change, way: str, now: float | None, *, is_last: bool
) -> LossRow:
    """Return what was lost until now, and in the end how long that went on."""
    lost_s = tuple(time_s for time_s in story.lost_s if now is not None and time_s <= now)
    if not is_last:
        return LossRow(way, lost_s, "")
    if len(change.reached_from) == 1:
        until = time_words(story.right_s)
        return LossRow(way, (), f"no way is left, and none is believed in after {until}")
    if not lost_s:
        return LossRow(way, (), f"none of {story.sent} lost")
    return LossRow(way, lost_s, f"{len(lost_s)} lost, until {time_words(lost_s[-1])}")


def routes_words(
    change: Change,
    place: str,
    now: float | None,
    sides: Sequence[Side],
    rows: Sequence[LossRow],
    guess: str,
    *,
    is_last: bool,
) -> Words:
    """Return title, text and spoken words of a scene."""
    title = _title(change, now, is_last=is_last)
    cut = change.cut_before if now is None else change.cut_after
    guessed = [f"{guess.capitalize()}."] if guess else []
    text = [f"{title}.", f"Cut: {', '.join(sorted(cut)) or 'no line'}.", axis_words(), *guessed]
    spoken = [f"{title}.", *guessed]
    for side, row in zip(sides, rows, strict=True):
        ways = "; ".join(f"{one} to {hops[0]}" for one, hops in side.next_hops.items() if hops)
        around = f" Packets go round: {', '.join(side.loop)}." if side.loop else ""
        table = "; ".join(one.words() for one in side.rows(place))
        text += [
            "",
            f"{side.way.capitalize()}. {telling(side)}.",
            f"Next hops to the {change.destination}: {ways or 'none'}.{around}",
            f"Table of {place}: {table}.",
            _lost_words(row),
            *(f"{one.origin} tells {one.target}: {one.words}" for one in side.under_way.values()),
        ]
        told = f"{side.way.capitalize()}: {telling(side)}.{around} {_lost_words(row)}"
        spoken.append(f"{told} Table of {place}: {table}.")
    return Words(title, "\n".join(text), " ".join(spoken))


def _title(change: Change, now: float | None, *, is_last: bool) -> str:
    deed = "cut" if change.cuts else "mended"
    if now is None:
        return f"Before the line {change.line} is {deed}"
    rest = "no more news, " if is_last else ""
    return f"{change.line} {deed}: {rest}{time_words(now)} later"


def _lost_words(row: LossRow) -> str:
    if row.words:
        return f"{row.words.capitalize()}."
    return f"Datagrams lost so far: {len(row.lost_s)}."
