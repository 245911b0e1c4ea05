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
USUAL_WIDTH = 940  # pixels of the page, to see which numbers would lie on each other
LETTER, LABEL_HEIGHT = 8, 12  # pixels
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
    places = _label_places(exercises)
    dots = Markup("").join(
        _dot(one, places.get(one.exercise.id)) for one in exercises if one.difficulty and one.widest
    )
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


def _label_places(exercises: Sequence[ExerciseStatistics]) -> dict[str, tuple[float, float]]:
    """Return where each number stands from its cross, in pixels: right, left, above or below it.

    The first place that covers no cross and no number before it is taken; the right one if none is.
    """
    marked = [one for one in exercises if one.judgement.needs_a_look and one.difficulty]
    at = {one.exercise.id: _place(one) for one in marked if one.widest}
    taken = [(x * USUAL_WIDTH / 100 - 6, y - 6, 12.0) for x, y in at.values()]
    places: dict[str, tuple[float, float]] = {}
    for name, (x, y) in at.items():
        wide = LETTER * len(name)
        choices = ((8.0, 4.0), (-8.0 - wide, 4.0), (-wide / 2, -9.0), (-wide / 2, 18.0))
        boxes = [(x * USUAL_WIDTH / 100 + dx, y + dy - 10, wide) for dx, dy in choices]
        free = next((n for n, box in enumerate(boxes) if not _covers(box, taken)), 0)
        places[name] = choices[free]
        taken.append(boxes[free])
    return places


def _covers(box: tuple[float, float, float], taken: Sequence[tuple[float, float, float]]) -> bool:
    left, top, wide = box
    return any(
        left < other + width and other < left + wide and abs(top - above) < LABEL_HEIGHT
        for other, above, width in taken
    )


def _place(one: ExerciseStatistics) -> tuple[float, float]:
    """Return where an exercise stands: per cent of the width, and pixels from above."""
    assert one.difficulty is not None
    assert one.widest is not None
    return _along(one.difficulty.share), _up(one.widest.r)


def _dot(one: ExerciseStatistics, label: tuple[float, float] | None) -> Markup:
    x, y = _place(one)
    title = f"{one.exercise.id} {one.exercise.title}: {one.judgement.value}"
    if label is not None:
        cross = Markup(
            '<svg class="cross" x="{}%" y="{}"><title>{}</title><path d="M-5 -5 5 5M-5 5 5 -5"/>'
            '<text x="{}" y="{}">{}</text></svg>'
        )
        return cross.format(x, y, title, *label, one.exercise.id)
    look = "dot open" if one.judgement is Judgement.TOO_FEW else "dot"
    circle = Markup('<circle class="{}" cx="{}%" cy="{}" r="4.5"><title>{}</title></circle>')
    return circle.format(look, x, y, title)


def _along(share: float) -> float:
    return round(LEFT + (99 - LEFT) * share, 2)


def _up(r: float) -> float:
    inside = min(HIGHEST, max(LOWEST, r))
    return round(8 + (HEIGHT - FOOT - 12) * (HIGHEST - inside) / (HIGHEST - LOWEST), 1)
