"""Draw a packet's journey on one screen: a track with stations, the frame, the books of the router.

The packet rides from left to right over the stages of the router. What leaves the fast path goes
through a siding below it. Beside the track the counters stand as a balance, beside the strip of
octets in words what the last step has found out. A journey has a scene for its arrival and one for
each step; the text of a scene tells all steps up to there.
"""

__all__ = ["journey_scene", "packet_journey"]

from course_lib.figures.drawing.flags import flags
from course_lib.figures.drawing.letters import width_of, wrapped
from course_lib.figures.drawing.scene import Part, Press, Scene
from course_lib.figures.drawing.svg import Figure, Words, label
from course_lib.figures.tracing.journey_books import books_scale
from course_lib.figures.tracing.journey_places import (
    Token,
    books_at,
    end_of,
    tokens_at,
    ways_taken,
)
from course_lib.figures.tracing.journey_track import FLAG_FOOT, TRACK_HEIGHT, Track
from course_lib.figures.tracing.journey_words import picture_lines, words_of
from course_lib.figures.tracing.octet_strip import STRIP_HEIGHT, octet_strip
from course_lib.tracing.steps import SLOW_PATH, Journey

_WIDTH, _MARGIN = 860.0, 20.0  # pixels, as all that follows
_STRIP = TRACK_HEIGHT + 8
_BOOKS = (742.0, 76.0)  # the pivot of the balance
_WORDS_X, _WORDS_Y, _LINE = 446.0, _STRIP + 14, 16.5
_MOST_LINES, _SMALL = 4, 12.5


def packet_journey(journey: Journey, until: int | None = None) -> Figure:
    """Return the picture of a journey as it is after its first `until` steps, or after all.

    >>> from course_lib.ferry.north_pier_alone import ARRIVALS, north_pier
    >>> from course_lib.tracing.journey import follow
    >>> print(packet_journey(follow(north_pier(), 0.0, *ARRIVALS["wrong checksum"])).title)
    North Pier: validate drops the packet: wrong checksum
    """
    return journey_scene(journey, len(journey.steps) if until is None else until).figure()


def journey_scene(
    journey: Journey, until: int, *, guess: int | None = None, asks: bool = False
) -> Scene:
    """Return the scene behind the first `until` steps.

    `guess` is the reader's own, for the place where the packet's way on the fast path ends: the
    number of a stage, counted from 0, or how many there are for the way out. With `asks` the
    stations and the way out can be pressed (action "guess").
    """
    until = min(until, len(journey.steps))
    steps = journey.steps[:until]
    tokens = tokens_at(journey, until)
    followed = next((token for token in tokens if token.is_next), tokens[0])
    track = Track(journey.stages, ways_taken(journey, until), followed.stage)
    words = words_of(journey, until, guess)
    books = books_at(journey, until), books_at(journey, max(until - 1, 0))
    parts = [
        _title(words),
        *track.rails(any(step.stage == SLOW_PATH for step in steps)),
        *track.stations(),
        track.out(),
        *_flags(journey, until, guess, track),
        *track.tokens(tokens),
        *books_scale(*books, *_BOOKS),
        *_step_words(journey, until),
        *_strip(journey, until, followed),
    ]
    touches = _presses(journey, track) if asks else ()
    return Scene(words, (_WIDTH, _STRIP + STRIP_HEIGHT), tuple(parts), touches)


def _flags(journey: Journey, until: int, guess: int | None, track: Track) -> list[Part]:
    """Draw the reader's guess, and beside it the answer, once the steps have shown it."""
    if guess is None:
        return []
    mine, answer = (track.x(guess), "your guess"), None
    if until and journey.has_ended(until):
        answer = (track.x(end_of(journey)), "ends here")
    return flags(FLAG_FOOT, (_MARGIN, 640.0), guess=mine, answer=answer)


def _strip(journey: Journey, until: int, followed: Token) -> list[Part]:
    if not until or not journey.steps:
        return octet_strip(journey.arrived, journey.arrived, journey.arrived, _STRIP)
    step = journey.steps[until - 1]
    if followed.is_own:
        return octet_strip(step.after, None, None, _STRIP)
    return octet_strip(step.after, journey.arrived, step.before, _STRIP)


def _presses(journey: Journey, track: Track) -> tuple[Press, ...]:
    names = [
        Press(f"station {n}", f"It ends in {journey.stages[n]}", "guess", n) for n in track.shown
    ]
    return (*names, Press("way out", "It goes out", "guess", len(journey.stages)))


def _title(words: Words) -> Part:
    room = _WIDTH - 2 * _MARGIN
    return Part("title", label(words.title, _MARGIN, 24, "ink strong", 16, room=room))


def _step_words(journey: Journey, until: int) -> list[Part]:
    """Write what the last step was and found out, beside the Ethernet header."""
    room = _WIDTH - _MARGIN - _WORDS_X
    head, *rest = picture_lines(journey, until)
    lines = [(line, "ink strong") for line in wrapped(head, room, _SMALL, "strong")]
    lines += [(line, "ink") for line in wrapped(" ".join(rest), room, _SMALL) if rest]
    if len(lines) > _MOST_LINES:
        last, look = lines[_MOST_LINES - 1]
        while width_of(f"{last} …", _SMALL, look) > room:
            last = last[:-1]
        lines[_MOST_LINES - 1 :] = [(f"{last} …", look)]
    return [
        Part(f"words {n}", label(line, _WORDS_X, _WORDS_Y + n * _LINE, look, _SMALL))
        for n, (line, look) in enumerate(lines)
    ]
