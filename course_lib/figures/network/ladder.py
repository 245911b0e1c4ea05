"""Draw who says what to whom on a way through a network, as a ladder in time.

Each place has a line; time runs down, a row for each moment, not to scale: the times stand on the
left. At the head of each line stand the place's hardware addresses, whom it knows, and which
packets wait there, all as they are after the newest row. Below, that row in full.
"""

__all__ = ["ladder_scene"]

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from course_lib.figures.drawing.flags import flags
from course_lib.figures.drawing.scene import Part, Press, Scene, Touch
from course_lib.figures.drawing.svg import Words, box, label
from course_lib.figures.network.ladder_rows import Rows
from course_lib.figures.network.ladder_words import moment_line, octet_of, read_frame, table_line
from course_lib.figures.network.place_cards import CARD_HEIGHT, CARD_WIDTH, card
from course_lib.tracing.exchange import Knowledge, Moment

_WIDTH, _MARGIN, _FIRST, _PITCH = 860.0, 16.0, 122.0, 205.0  # pixels, as all that follows
_CARDS, _ROOM, _SMALL = 34.0, 314.0, 12.5
_TOP = _CARDS + CARD_HEIGHT + 5
_BELOW = _TOP + _ROOM + 16
_HEIGHT = _BELOW + 24
_FLAG_FOOT = _TOP + 70
LEGEND = "A hardware address is 00:00:5e:00:53 and one octet more; that one is written, as in :01."
BEFORE = "Nobody knows anybody yet, and nothing has been sent"


class Guess(NamedTuple):
    """The place that the reader has guessed, and the answer once it is out."""

    place: str
    answer: str | None = None


def ladder_scene(
    moments: Sequence[Moment],
    until: int,
    own: Mapping[str, tuple[tuple[int, bytes], ...]],
    *,
    guess: Guess | None = None,
    asks: bool = False,
    draggable: str = "",
) -> Scene:
    """Return the scene behind the first `until` moments.

    own: the addresses of each place, from left to right. With `asks` places can be pressed (action
    "guess"). The answers of the place `draggable` can be dragged off their way.
    """
    lines = {place: _FIRST + number * _PITCH for number, place in enumerate(own)}
    rows = Rows(moments, lines, _TOP, _ROOM, _WIDTH - _MARGIN, draggable)
    seen = moments[:until]
    nothing = {place: Knowledge((), ()) for place in own}
    before, now = [nothing, nothing, *(moment.knowledge for moment in seen)][-2:]
    words = _words(seen, now, own, guess if not seen else None)
    parts = [Part("title", label(words.title, _MARGIN, 22, "ink strong", 15,
                                 room=_WIDTH - 2 * _MARGIN))]  # fmt: skip
    for place, x in lines.items():
        parts += card(place, own[place], now[place], before[place], (x, _CARDS))
    parts += rows.life_lines(until)
    if seen:
        parts.append(rows.cursor(until - 1))
    touches: list[Touch] = []
    for row, moment in enumerate(seen):
        parts += rows.drawn(row)
        if moment.travel and rows.can_be_dragged(moment):
            touches.append(rows.slide(moment.travel))
    if guess is not None and not seen:
        answer = (lines[guess.answer], "answer") if guess.answer else None
        edges = (_MARGIN, _WIDTH - _MARGIN)
        parts += flags(_FLAG_FOOT, edges, guess=(lines[guess.place], "your guess"), answer=answer)
    if asks:
        for place, x in lines.items():
            frame = box("hit", x - CARD_WIDTH / 2, _CARDS, CARD_WIDTH, _FLAG_FOOT - _CARDS)
            parts.append(Part(f"place {place}", frame))
            touches.append(Press(f"place {place}", place, "guess", place))
    parts.append(Part("below", label(_below(seen), _MARGIN, _BELOW, "ink", _SMALL,
                                     room=_WIDTH - 2 * _MARGIN)))  # fmt: skip
    parts.append(Part("legend", label(LEGEND, _MARGIN, _BELOW + 17, "quiet", _SMALL)))
    return Scene(words, (_WIDTH, _HEIGHT), tuple(parts), tuple(touches))


def _below(seen: Sequence[Moment]) -> str:
    """Return the newest frame in full: the hardware addresses change, the others stay."""
    if not seen or seen[-1].travel is None:
        return ""
    frame = read_frame(seen[-1].travel.octets)
    return f"Ethernet: from {frame.source} to {frame.destination}. {frame.inside}."


def _words(
    seen: Sequence[Moment],
    now: Mapping[str, Knowledge],
    own: Mapping[str, tuple[tuple[int, bytes], ...]],
    guess: Guess | None,
) -> Words:
    title = _title(seen[-1]) if seen else BEFORE
    addresses = "; ".join(
        f"{place} {', '.join(octet_of(mac) for _, mac in pairs)}" for place, pairs in own.items()
    )
    tables = [table_line(place, knowledge) for place, knowledge in now.items()]
    guessed = [f"Your guess: {guess.place}."] if guess else []
    if guess and guess.answer:
        guessed.append(f"The answer: {guess.answer}.")
    text = [f"{title}.", f"Hardware addresses: {addresses}.", LEGEND, *guessed, "",
            *map(moment_line, seen), "", *tables]  # fmt: skip
    spoken = f"{title}. {'. '.join(tables)}. {' '.join(guessed)}".strip()
    return Words(title, "\n".join(text), spoken)


def _title(moment: Moment) -> str:
    if moment.travel is None:
        return "; ".join(f"{place} {words}" for place, words in moment.notes)
    frame = read_frame(moment.travel.octets)
    end = "" if moment.travel.arrives else ", and is lost"
    kind = "ARP, " if frame.is_question else ""
    return f"{moment.travel.origin} to {moment.travel.target}: {kind}{frame.word}{end}"
