"""The picture of all exercises: from left to right how easy they are, upwards what they tell apart.

What wants a look is a cross with its number beside it; a hollow dot is one of which the class is
too small to say anything; the others are full dots.
"""

__all__ = ["apart_picture", "apart_sentence"]

from collections.abc import Sequence

from markupsafe import Markup

from instructor.output.pages import count, percent
from instructor.reporting.pictures import framed
from instructor.statistics.discrimination import POOR_BELOW
from instructor.statistics.exercise_statistics import ExerciseStatistics, Judgement

HEIGHT, FOOT = 240, 36  # pixels; below the floor stand numbers
LOWEST, HIGHEST = -0.5, 1.0  # what lies outside stands at the edge
LINES = ((0.0, "0"), (POOR_BELOW, f"{POOR_BELOW:.1f}"), (0.6, "0.6"), (1.0, "1"))
LEFT = 6  # per cent of the width, for numbers


def apart_picture(exercises: Sequence[ExerciseStatistics]) -> Markup:
    """Draw each exercise of which both figures are known."""
    line = Markup(
        '<line class="{}" x1="{}%" x2="100%" y1="{y}" y2="{y}"/><text x="0" y="{t}">{}</text>'
    )
    lines = Markup("").join(
        line.format("ground" if at == POOR_BELOW else "faint", LEFT, said, y=_up(at), t=_up(at) + 4)
        for at, said in LINES
    )
    floor = HEIGHT - FOOT + 16
    marks = Markup("").join(
        Markup('<text x="{}%" y="{}" text-anchor="{}">{}</text>').format(
            _along(at / 100), floor, "end" if at == 100 else "middle", f"{at}{' %' * (at == 100)}"
        )
        for at in (0, 25, 50, 75, 100)
    )
    said = Markup('<text x="{}%" y="{}">{}</text>').format(
        LEFT, HEIGHT - 2, "share of points that the class has: hard at the left, easy at the right"
    )
    dots = Markup("").join(_dot(one) for one in exercises if one.difficulty and one.widest)
    return framed(apart_sentence(exercises), HEIGHT, lines, marks, said, dots)


def apart_sentence(exercises: Sequence[ExerciseStatistics]) -> str:
    """Say in words what the picture shows."""
    known = [one for one in exercises if one.difficulty and one.widest]
    if not known:
        return "Of no exercise both figures are known."
    hardest = min(known, key=lambda one: one.difficulty.share if one.difficulty else 0)
    assert hardest.difficulty is not None
    look = [one.exercise.id for one in known if one.judgement.needs_a_look]
    poor = sum(one.widest.r < POOR_BELOW for one in known if one.widest)
    return (
        f"{count(len(known), 'exercise')}: the hardest is {hardest.exercise.id} with "
        f"{percent(hardest.difficulty.share)} of its points; {poor} lie below the line at "
        f"{POOR_BELOW:.1f}" + (f"; a cross marks {', '.join(look)}." if look else ".")
    )


def _dot(one: ExerciseStatistics) -> Markup:
    assert one.difficulty is not None
    assert one.widest is not None
    x, y = _along(one.difficulty.share), _up(one.widest.r)
    title = f"{one.exercise.id} {one.exercise.title}: {one.judgement.value}"
    if one.judgement.needs_a_look:
        cross = Markup(
            '<svg class="cross" x="{}%" y="{}"><title>{}</title><path d="M-5 -5 5 5M-5 5 5 -5"/>'
            '<text x="8" y="4">{}</text></svg>'
        )
        return cross.format(x, y, title, one.exercise.id)
    look = "dot open" if one.judgement is Judgement.TOO_FEW else "dot"
    circle = Markup('<circle class="{}" cx="{}%" cy="{}" r="4.5"><title>{}</title></circle>')
    return circle.format(look, x, y, title)


def _along(share: float) -> float:
    return round(LEFT + (99 - LEFT) * share, 2)


def _up(r: float) -> float:
    inside = min(HIGHEST, max(LOWEST, r))
    return round(8 + (HEIGHT - FOOT - 12) * (HIGHEST - inside) / (HIGHEST - LOWEST), 1)
