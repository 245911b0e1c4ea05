"""The distribution of totals: one dot a student, stacked where several have as many points."""

__all__ = ["totals_picture", "totals_sentence"]

from collections import Counter
from statistics import quantiles

from markupsafe import Markup

from instructor.output.pages import number
from instructor.output.text import visible
from instructor.reporting.class_report import ClassReport, StudentTotal
from instructor.reporting.pictures import framed

STACKS = 48  # places for dots from left to right
STEP, MOST_HEIGHT = 13, 160  # from dot to dot, and of the highest stack; both in pixels
MOST_LABELS = 6
STEPS = [one * 10**power for power in range(9) for one in (1, 2, 5)]  # from label to label


def totals_picture(report: ClassReport) -> Markup:
    """Draw the dots on a scale from no points to all there are; hollow where something is open."""
    stacks = Counter(_place(one, report.of) for one in report.students)
    step = min(STEP, MOST_HEIGHT / max(stacks.values(), default=1))
    floor = step * max(stacks.values(), default=1) + 2
    dots, filled = [], Counter[int]()
    for one in sorted(report.students, key=lambda one: (one.points, one.student)):
        place = _place(one, report.of)
        height = floor - step * (filled[place] + 0.5)
        dots.append(_dot(one, 100 * (place + 0.5) / STACKS, height, 0.42 * step))
        filled[place] += 1
    return framed(totals_sentence(report), round(floor) + 22, _axis(floor, report.of), *dots)


def totals_sentence(report: ClassReport) -> str:
    """Say in words what the dots show."""
    points = sorted(one.points for one in report.students)
    if len(points) < 2:
        return f"{len(points)} student, {number(report.of)} points there are."
    low, middle, high = (number(one) for one in quantiles(points, n=4, method="inclusive"))
    return (
        f"Of {number(report.of)} points there are, half of the {len(points)} students have "
        f"{middle} or more; the middle half have from {low} to {high}."
    )


def _dot(one: StudentTotal, x: float, y: float, radius: float) -> Markup:
    """Draw a dot that says whose it is where it is pointed at."""
    circle = Markup('<circle class="{}" cx="{}%" cy="{}" r="{}"><title>{}</title></circle>')
    look = "dot" if one.is_final else "dot open"
    whose = f"{visible(one.student)}: {number(one.points)}"
    return circle.format(look, round(x, 2), round(y, 1), round(radius, 1), whose)


def _place(one: StudentTotal, of: float) -> int:
    return min(STACKS - 1, int(STACKS * one.points / of)) if of else 0


def _axis(floor: float, of: float) -> Markup:
    """Draw the floor, and round numbers of points below it; the last one is all there are."""
    step = next(one for one in STEPS if of / one <= MOST_LABELS)
    rounded = [step * place for place in range(int(of / step) + 1)]
    marks = [(one, "middle" if one else "start") for one in rounded if of - one > step / 2]
    labels = "".join(
        f'<text x="{round(100 * one / of, 2)}%" y="{floor + 17:.1f}" text-anchor="{anchor}">'
        f"{number(one)}</text>"
        for one, anchor in [*marks, (of, "end")]
    )
    line = f'<line class="ground" x1="0" x2="100%" y1="{floor:.1f}" y2="{floor:.1f}"/>'
    return Markup(line + labels)  # numbers alone
