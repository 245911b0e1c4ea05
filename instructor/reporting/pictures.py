"""Small pictures for reports: SVG without a script, a link or a style of its own.

Every picture is one line high and as wide as there is room; places along it are per
cent of that width, which are also the figures that it shows. Colours come from the
page's style sheet. What differs in colour differs in pattern too, and the numbers
stand beside the picture as text, so that it is read as one sentence.
"""

__all__ = [
    "OUTCOME_PATTERNS",
    "framed",
    "interval_picture",
    "outcome_picture",
    "patterns",
    "scale",
    "swatch",
]

from collections.abc import Sequence

from markupsafe import Markup

from instructor.reporting.intervals import Estimate

HEIGHT = 18
# Per cent, and how the number stands at its place.
TICKS = ((0, "start"), (25, "middle"), (50, "middle"), (75, "middle"), (100, "end"))
PER_CENT = ("0", "", "50", "", "100 %")
ROOM_FOR_LABEL = 0.1  # a narrower segment carries no number
OUTCOME_PATTERNS = ("right", "partly", "wrong", "stopped", "none", "unclear")

_PATTERNS = {
    "partly": '<path d="M-2 10 10 -2M4 16 16 4M-8 4 4 -8" stroke-width="3"/>',
    "wrong": '<circle cx="3" cy="3" r="2"/><circle cx="9" cy="9" r="2"/>',
    "stopped": '<path d="M0 2H12M0 8H12" stroke-width="2.5"/>',
    "unclear": '<path d="M3 0V12M9 0V12" stroke-width="1.5"/>',
}


def interval_picture(estimate: Estimate, sentence: str) -> Markup:
    """Draw a share as a dot and its interval as a band, on a scale from 0 to 100 per cent."""
    low, dot, high = _places(estimate.low, estimate.share, estimate.high)
    return _picture(
        sentence,
        _grid(),
        _element(f'<rect class="band" x="{low}%" width="{high - low:.2f}%" y="4" height="10"/>'),
        _element(f'<circle class="dot" cx="{dot}%" cy="9" r="5"/>'),
    )


def outcome_picture(
    counts: Sequence[int], sentence: str, names: Sequence[str] = OUTCOME_PATTERNS
) -> Markup:
    """Draw counts as one bar; they come in the order of `names`, each one of the patterns."""
    whole = sum(counts)
    parts = []
    start = 0.0
    for name, count in zip(names, counts, strict=True):
        if count:
            parts.append(_segment(name, start, count / whole, count))
            start += count / whole
    return _picture(sentence, *parts)


def scale(numbers: Sequence[str] = PER_CENT, said: str = "Scale from 0 to 100 %") -> Markup:
    """Draw the five numbers above a column of interval pictures."""
    labels = Markup("").join(
        Markup('<text x="{}%" y="13" text-anchor="{}">{}</text>').format(tick, anchor, number)
        for (tick, anchor), number in zip(TICKS, numbers, strict=True)
    )
    return _picture(said, labels)


def swatch(name: str) -> Markup:
    """Draw one pattern alone, for the head of its column."""
    return Markup(
        f'<svg class="swatch" width="22" height="12" aria-hidden="true">{_fill(name, 0, 1)}</svg>'
    )


def patterns() -> Markup:
    """Draw nothing, but define the patterns that all pictures of a page use."""
    defined = "".join(
        f'<pattern id="pattern-{name}" class="pattern {name}" width="12" height="12" '
        f'patternUnits="userSpaceOnUse"><rect class="ground" width="12" height="12"/>{drawing}'
        "</pattern>"
        for name, drawing in _PATTERNS.items()
    )
    return Markup(
        f'<svg class="defined" width="0" height="0" aria-hidden="true"><defs>{defined}</defs></svg>'
    )


def framed(sentence: str, height: int, *parts: Markup) -> Markup:
    """Put a picture's parts into one that is as wide as there is room, and says what it shows."""
    head = Markup('<svg class="picture" role="img" width="100%" height="{}" aria-label="{}">')
    return head.format(height, sentence) + Markup("").join(parts) + Markup("</svg>")


def _picture(sentence: str, *parts: Markup) -> Markup:
    return framed(sentence, HEIGHT, *parts)


def _grid() -> Markup:
    lines = (f'<line x1="{x}%" x2="{x}%" y1="0" y2="{HEIGHT}"/>' for x, _ in TICKS)
    return _element(f'<g class="grid">{"".join(lines)}</g>')


def _segment(name: str, start: float, width: float, count: int) -> Markup:
    bar = _fill(name, start, width)
    if width < ROOM_FOR_LABEL:
        return bar
    (middle,) = _places(start + width / 2)
    half = 5 + 4 * len(str(count))
    return bar + _element(
        f'<svg class="label" x="{middle}%" y="0"><rect x="{-half}" y="1" width="{2 * half}" '
        f'height="16" rx="3"/><text y="13.5" text-anchor="middle">{count}</text></svg>'
    )


def _fill(name: str, start: float, width: float) -> Markup:
    place, length = _places(start, width)
    fill = f'fill="url(#pattern-{name})"' if name in _PATTERNS else ""
    return _element(
        f'<rect class="segment {name}" {fill} x="{place}%" width="{length}%" y="0" height="100%"/>'
    )


def _places(*shares: float) -> tuple[float, ...]:
    return tuple(round(100 * share, 2) for share in shares)


def _element(text: str) -> Markup:
    """Mark text as markup: only numbers and names from this module are ever in it."""
    return Markup(text)
