"""Draw a place at the head of its line: its addresses, whom it knows, and what waits there."""

__all__ = ["CARD_HEIGHT", "CARD_WIDTH", "card"]

from course_lib.figures.drawing.letters import width_of
from course_lib.figures.drawing.scene import Part
from course_lib.figures.drawing.svg import box, group, label
from course_lib.figures.network.ladder_words import octet_of
from course_lib.prefixes.text import format_address
from course_lib.tracing.exchange import Knowledge

CARD_WIDTH, CARD_HEIGHT = 195.0, 107.0  # pixels, as all that follows
_LINE, _SMALL, _PAD, _TOKEN = 15.5, 12.5, 8.0, 15.0
_MOST_KNOWN = 2


def card(
    place: str,
    own: tuple[tuple[int, bytes], ...],
    now: Knowledge,
    before: Knowledge,
    place_at: tuple[float, float],
) -> list[Part]:
    """Return the parts of a card, with its middle and its top at `place_at`.

    `own` are the place's own addresses. What is not as in `before` is written strongly.
    """
    left, top = place_at[0] - CARD_WIDTH / 2, place_at[1]
    lines = [(place, "ink strong"), (f"own {', '.join(octet_of(mac) for _, mac in own)}", "quiet")]
    for pair in now.known[-_MOST_KNOWN:]:
        look = "ink" if pair in before.known else "ink strong"
        lines.append((f"{format_address(pair[0])} is {octet_of(pair[1])}", look))
    if not now.known:
        lines.append(("knows nobody", "quiet"))
    words = "".join(
        label(text, left + _PAD, top + 16 + number * _LINE, look, _SMALL)
        for number, (text, look) in enumerate(lines)
    )
    frame = group(place, box("box", left, top, CARD_WIDTH, CARD_HEIGHT, 5))
    return [Part(f"card {place}", frame + words), _waiting(now, place, left, top)]


def _waiting(now: Knowledge, place: str, left: float, top: float) -> Part:
    """Draw the packets that wait, the oldest first."""
    y = top + CARD_HEIGHT - 21
    x = left + _PAD + width_of("waiting", _SMALL) + 8
    shapes = [label("waiting", left + _PAD, y + 12, "quiet", _SMALL)]
    if not now.waiting:
        shapes.append(label("nothing", x, y + 12, "quiet", _SMALL))
    for octets in now.waiting:
        width = width_of(f"{octets}", _SMALL, "mono") + 6
        shapes.append(box("calm", x, y, width, _TOKEN, 3))
        shapes.append(label(f"{octets}", x + width / 2, y + 12, "on-mark mono strong",
                            _SMALL, "middle"))  # fmt: skip
        x += width + 3
    return Part(f"waiting {place}", "".join(shapes))
