"""Draw what a switch carries against its number of ports: theory as lines, measures as dots."""

__all__ = [
    "FOOT", "GUESSES", "LEFT", "RIGHT", "SHARE_TICKS",
    "dots", "ports_at", "rungs", "saturation_axes", "share_y", "theory_line",
]  # fmt: skip

from collections.abc import Iterable

from course_lib.experiments.intervals import Band
from course_lib.ferry.one_switch import BY_LOT, MEASURED_PORTS, ONE_LINE, PORTS, expected_share
from course_lib.figures.drawing.scene import Part
from course_lib.figures.drawing.svg import box, element, group, label, path
from course_lib.switching.theory import INPUT_LIMIT

LEFT, RIGHT, TOP, FOOT = 64.0, 470.0, 336.0, 456.0  # pixels, as all that follows
GUESSES = range(0, 101, 10)  # percent, for which there are rungs
SHARE_TICKS = (0, 25, 50, 75, 100)
_MOST, _SMALL = MEASURED_PORTS[-1], 12.5
_RUNG = (FOOT - TOP) / (len(GUESSES) - 1)
_NAMES = {ONE_LINE: ("one line", 15.0), BY_LOT: ("by lot", -7.0)}


def ports_at(ports: float) -> float:
    """Return where a number of ports stands."""
    return LEFT + ports / _MOST * (RIGHT - LEFT)


def share_y(share: float) -> float:
    """Return the height of a share of busy outputs."""
    return FOOT - share * (FOOT - TOP)


def saturation_axes(*, limit: bool) -> str:
    """Return both axes; with `limit`, where one line at each input ends for many ports."""
    ticks = "".join(f"M{ports_at(ports):g} {FOOT:g}v5" for ports in MEASURED_PORTS)
    level = share_y(INPUT_LIMIT)
    shapes = [
        path("axis", f"M{LEFT:g} {TOP:g}V{FOOT:g}H{RIGHT:g}{ticks}"),
        label("busy outputs (%)", 20, TOP - 12, "quiet", _SMALL),
        label("ports", RIGHT + 10, FOOT + 20, "quiet", _SMALL),
        *(label(f"{ports}", ports_at(ports), FOOT + 20, "quiet", _SMALL, "middle")
          for ports in MEASURED_PORTS),
        *(label(f"{tick}", LEFT - 7, share_y(tick / 100) + 4, "quiet", _SMALL, "end")
          for tick in SHARE_TICKS),
    ]  # fmt: skip
    if limit:
        shapes.append(path("gap", f"M{LEFT:g} {level:.1f}H{RIGHT + 4:g}"))
        shapes.append(label(f"{100 * INPUT_LIMIT:.1f} %", RIGHT + 8, level + 4, "quiet", _SMALL))
    return "".join(shapes)


def theory_line(switch: str, look: str) -> str:
    """Return what theory expects of 1 to 16 ports, with the name of the switch."""
    points = [
        f"{ports_at(ports):.1f} {share_y(expected_share(switch, ports)):.1f}"
        for ports in range(1, _MOST + 1)
    ]
    words, down = _NAMES.get(switch, ("in turn", 15.0))
    name = label(words, ports_at(12), share_y(expected_share(switch, 12)) + down,
                 "ink haloed", _SMALL, "middle")  # fmt: skip
    return path(look, "M" + "L".join(points)) + name


def dots(bands: Iterable[Band], *, is_now: bool) -> str:
    """Return what was measured, each with its interval if it belongs to the switch of now."""
    shapes = []
    for one in bands:
        x, y = ports_at(one.x), share_y(one.mean)
        if is_now:
            low, high = share_y(max(one.low, 0)), share_y(min(one.high, 1))
            shapes.append(path("measured", f"M{x:g} {low:.1f}V{high:.1f}"))
        shapes.append(element("circle", cx=x, cy=round(y, 1), r=5 if is_now else 3.2,
                              class_="alert" if is_now else "neither"))  # fmt: skip
    return "".join(shapes) or path("axis", "M0 0")


def rungs() -> list[Part]:
    """Return a ladder at the switch that is watched: each rung is pressed to guess its share."""
    x = ports_at(PORTS)
    words = label(f"at {PORTS} ports?", x - 14, share_y(0.5) + 4, "ink strong", _SMALL, "end")
    return [
        Part("ladder", path("gap", f"M{x:g} {FOOT:g}V{TOP:g}") + words),
        *(
            Part(f"rung {share}", group(
                f"guess {share} %",
                box("hit", x - 22, share_y(share / 100) - _RUNG / 2, 44, _RUNG),
                path("axis", f"M{x - 9:g} {share_y(share / 100):.1f}h18"),
            ))
            for share in GUESSES
        ),
    ]  # fmt: skip
