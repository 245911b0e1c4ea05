"""Piers, boats and water at night: what the first picture of each workbook is drawn with.

Such a picture stands in a text cell, as an image of its own: it runs no code, and the page
cannot tell it whether it is light or dark. So the night is dark on every page; on paper it is
drawn in ink.
"""

__all__ = [
    "HEIGHT",
    "WATER",
    "WIDTH",
    "Picture",
    "boat",
    "gate",
    "gull",
    "lamp",
    "moon",
    "picture",
    "pier",
    "stars",
]

from dataclasses import dataclass

from course_lib.figures.drawing.palette import DARK, LIGHT, Theme
from course_lib.figures.drawing.svg import box, element, escape, label, path

WIDTH, HEIGHT = 760, 216
WATER = 158  # where its surface lies
NIGHT = DARK._replace(
    paper="#10263b",
    tint="#1c3f5e",
    ink="#f2f5f8",
    quiet="#bccad8",
    line="#7f98b0",
    calm="#6cc0ee",
    alert="#f0ad2e",
)
_FONTS = "Helvetica,Arial,'Liberation Sans',sans-serif"
_MONO = "'DejaVu Sans Mono',Menlo,Consolas,'Liberation Mono',monospace"


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing that stands alone as a file, and the same in words."""

    svg: str
    alternative_text: str


def picture(alternative_text: str, question: str, *shapes: str) -> Picture:
    """Return shapes over the water; the question stands in it, at the foot."""
    svg = element(
        "svg",
        element("title", escape(question)),
        element("desc", escape(alternative_text)),
        element("style", _looks()),
        box("sky", 0, 0, WIDTH, HEIGHT, 8),
        _waves(),
        *shapes,
        label(question, WIDTH / 2, HEIGHT - 14, "ink", 16, "middle"),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {WIDTH} {HEIGHT}",
        width=WIDTH,
        height=HEIGHT,
        role="img",
        aria_label=alternative_text,
    )
    return Picture(svg, alternative_text)


def boat(bow_x: float, length: float, name: str = "", *, faces_left: bool = False) -> str:
    """Return a boat whose bow is at `bow_x`; its name stands on the hull."""
    stern_x = bow_x + length if faces_left else bow_x - length
    turn = 1 if faces_left else -1
    deck = WATER - 20
    hull = f"M{bow_x} {deck}L{bow_x + turn * 20} {WATER + 5}H{stern_x - turn * 8}L{stern_x} {deck}z"
    middle = (bow_x + stern_x) / 2
    return path("hull", hull) + label(name, middle + turn * 4, deck + 16, "on-hull", 13, "middle")


def lamp(x: float, y: float) -> str:
    """Return a lamp that burns."""
    glow = element("circle", cx=x, cy=y, r=11, class_="glow")
    return glow + element("circle", cx=x, cy=y, r=4, class_="light")


def pier(x: float, width: float, name: str, lamp_x: float) -> str:
    """Return a pier with its name under the planks, and a lamp."""
    posts = "".join(f"M{x + shift} {WATER - 22}V{WATER + 12}" for shift in (8, width - 8))
    planks = box("planks", x, WATER - 26, width, 6, 2)
    mast = path("thin", f"M{lamp_x} {WATER - 26}V{WATER - 62}")
    words = label(name, x + width / 2, WATER - 7, "quiet", 13, "middle")
    return path("post", posts) + planks + mast + lamp(lamp_x, WATER - 66) + words


def gate(x: float, name: str = "") -> str:
    """Return a gate in the water, 54 wide, with its name above."""
    pillars = "".join(box("planks", x + shift, WATER - 66, 7, 76, 2) for shift in (0, 47))
    arch = path("arch", f"M{x + 3.5} {WATER - 66}Q{x + 27} {WATER - 94} {x + 50.5} {WATER - 66}")
    return arch + pillars + label(name, x + 27, WATER - 96, "ink", 13, "middle")


def moon(x: float, y: float) -> str:
    """Return the moon, and its light on the water."""
    light = "".join(
        f"M{x - half} {WATER + 14 + 8 * row}h{2 * half}" for row, half in enumerate((15, 9))
    )
    return element("circle", cx=x, cy=y, r=17, class_="quiet") + path("shine", light)


def stars(*places: tuple[float, float]) -> str:
    """Return stars at these places."""
    return "".join(element("circle", cx=x, cy=y, r=1.4, class_="quiet") for x, y in places)


def gull(x: float, y: float) -> str:
    """Return a gull that sits with its feet at a point."""
    body = "M-13-9c4-9 13-11 19-7c2-5 9-5 10 0l5 2l-6 1c-2 6-9 9-15 8l-17 4z"
    legs = path("thin", f"M{x - 2} {y - 5}V{y}M{x + 3} {y - 5}V{y}")
    eye = element("circle", cx=x + 11, cy=y - 17, r=1.2, class_="eye")
    return legs + element("path", d=body, class_="bird", transform=f"translate({x} {y})") + eye


def _waves() -> str:
    rows = []
    for number, look in enumerate(("water", "depth")):
        y, step = WATER + 14 * number, 38
        crests = f"q{step / 4} -4 {step / 2} 0t{step / 2} 0" * (WIDTH // step)
        rows.append(path(look, f"M0 {y}{crests}V{HEIGHT - 8}q0 8 -8 8H8q-8 0 -8 -8z"))
    return "".join(rows)


def _looks() -> str:
    fonts = f"text{{font-family:{_FONTS}}}.mono{{font-family:{_MONO}}}"
    return f"{fonts}{_rules(NIGHT)}@media print{{{_rules(LIGHT)}}}"


def _rules(theme: Theme) -> str:
    looks = {
        "sky": f"fill:{theme.paper}",
        "water": f"fill:{theme.tint}",
        "depth": f"fill:{theme.paper};opacity:.45",
        "ink": f"fill:{theme.ink}",
        "quiet": f"fill:{theme.quiet}",
        "hull": f"fill:{theme.ink}",
        "on-hull": f"fill:{theme.paper};font-weight:bold",
        "planks": f"fill:{theme.line}",
        "post": f"fill:none;stroke:{theme.line};stroke-width:4",
        "thin": f"fill:none;stroke:{theme.line};stroke-width:1.5",
        "line": f"fill:none;stroke:{theme.quiet};stroke-width:1.5",
        "arch": f"fill:none;stroke:{theme.line};stroke-width:3",
        "shine": f"fill:none;stroke:{theme.quiet};stroke-width:2;opacity:.5;stroke-linecap:round",
        "way": f"fill:none;stroke:{theme.quiet};stroke-width:2;stroke-dasharray:2 5;"
        "stroke-linecap:round",
        "plumb": f"fill:none;stroke:{theme.ink};stroke-width:2;stroke-dasharray:2 5;"
        "stroke-linecap:round",
        "light": f"fill:{theme.alert}",
        "glow": f"fill:{theme.alert};opacity:.25",
        "bird": f"fill:{theme.ink}",
        "eye": f"fill:{theme.paper}",
        "cargo": f"fill:{theme.tint};stroke:{theme.calm};stroke-width:1.5",
        "band": f"fill:{theme.calm}",
        "on-band": f"fill:{theme.paper};font-weight:bold",
        "odd": f"fill:none;stroke:{theme.alert};stroke-width:2.5",
        "empty": f"fill:none;stroke:{theme.line};stroke-width:1.5;stroke-dasharray:3 3",
    }
    return "".join(f".{name}{{{look}}}" for name, look in looks.items())
