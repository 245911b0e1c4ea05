"""The picture of loss and rate: the window over time, and below it what the flow gets.

Above, a stretch of a run with all that was lost in it; a packet may be dragged out of it, and the
scenes are the moments that follow. Below, the rate against the period of loss.
"""

__all__ = ["LossView", "loss_scenes"]

from collections.abc import Iterator

from course_lib.figures.drawing.flags import flags
from course_lib.figures.drawing.scene import Part, Press, Scene, Slide, Touch
from course_lib.figures.drawing.svg import element, label, path
from course_lib.figures.loss.aftermath import PLACES
from course_lib.figures.loss.loss_words import LossView, flow_name, loss_words
from course_lib.figures.loss.rate_axes import (
    ASKED,
    GUESSES,
    LEFT,
    NOTCHES,
    RIGHT,
    axes,
    dots,
    every_at,
    guess_rungs,
    knob,
    law_lines,
    measured_mark,
    notch_of,
    period_x,
    rate_y,
)
from course_lib.figures.loss.window_stretch import token_x, window_stretch

_SIZE = (860.0, 472.0)
_BLOCK_X, _BLOCK_Y, _LINE, _ROOM = 530.0, 250.0, 22.0, 314.0  # the numbers of now
_FLAG_UP, _SMALL = 26.0, 12.5


def loss_scenes(view: LossView) -> tuple[Scene, ...]:
    """Return a scene for each moment after a loss; a single one, if no packet was taken out."""
    still, touches = _below(view), _touches(view)
    moments = view.after.moments if view.after else ((None, ""),)

    def scene(until: int | None, told: str) -> Scene:
        words = loss_words(view, told)
        title = Part("title", label(words.title, 20, 22, "ink strong", 16, room=824))
        above = window_stretch(view.stretch, view.after, until, told)
        return Scene(words, _SIZE, (title, *above, *still), touches)

    return tuple(scene(until, told) for until, told in moments)


def _below(view: LossView) -> list[Part]:
    plumb, shape = knob(view.flow.every, view.band.mean)
    parts = [Part("axes", axes())]
    if view.is_asked:
        parts += [plumb, *guess_rungs()]
    else:
        parts += law_lines(view.flow)
        if view.ghost:
            parts.append(Part("before", dots(view.ghost[1], "gap", 4.0)))
        parts += [Part("curve", dots(view.curve)), plumb, shape]
    parts.append(Part("measured", measured_mark(view.band, is_coarse=view.is_coarse)))
    parts.append(Part("numbers", "".join(_numbers(view))))
    if view.guess is not None:
        where = (period_x(ASKED), f"your guess: {view.guess:g}")
        parts += flags(rate_y(view.guess), (LEFT, RIGHT), guess=where, up=_FLAG_UP)
    return parts


def _numbers(view: LossView) -> Iterator[str]:
    """Say beside the axes what lines and dots are worth."""
    law, waits, measured = view.sentences
    x, y, words_x = _BLOCK_X, _BLOCK_Y, _BLOCK_X + 30
    yield label(f"one packet in {view.flow.every:,} is lost, in Mbit/s", x, y, "ink strong", _SMALL)
    for look, words in (("expected", law), ("gap", waits)):
        if words:
            y += _LINE
            yield path(look, f"M{x:g} {y - 4:g}h22") + label(words, words_x, y, "ink", _SMALL)
    y += _LINE
    if view.is_coarse:
        yield element("circle", cx=x + 11, cy=y - 4, r=6, class_="torn", stroke_dasharray="3 2")
    else:
        yield path("measured", f"M{x:g} {y - 4:g}h22")
        yield element("circle", cx=x + 11, cy=y - 4, r=5.5, class_="alert")
    yield label(measured, words_x, y, "ink", _SMALL)
    yield label(view.how, words_x, y + _LINE, "quiet", _SMALL, room=_ROOM - 30)
    if view.is_asked:
        return
    y += 2.5 * _LINE
    yield element("circle", cx=x + 11, cy=y - 4, r=3.0, class_="neither")
    yield label(flow_name(view.flow), words_x, y, "ink", _SMALL, room=_ROOM - 30)
    if view.ghost:
        yield element("circle", cx=x + 11, cy=y + _LINE - 4, r=4.0, class_="gap")
        before = f"before: {flow_name(view.ghost[0])}"
        yield label(before, words_x, y + _LINE, "quiet", _SMALL, room=_ROOM - 30)


def _touches(view: LossView) -> tuple[Touch, ...]:
    if view.is_asked:
        return tuple(
            Press(f"rung {rate:g}", f"Guess {rate:g} Mbit/s", "guess", f"{rate:g}",
                  rate == view.guess)
            for rate in GUESSES
        )  # fmt: skip
    low, high = NOTCHES[0], NOTCHES[-1]
    place = view.after.place if view.after else 0
    lost = f"packet {view.after.number:,} is lost" if view.after else "no packet besides"
    return (
        Slide("token", "A packet that is lost besides", "packet", token_x(0), token_x(PLACES),
              0, PLACES, place, lost),
        Slide("period", "One packet is lost in", "period", period_x(every_at(low)),
              period_x(every_at(high)), low, high, notch_of(view.flow.every),
              f"{view.flow.every:,} packets"),
    )  # fmt: skip
