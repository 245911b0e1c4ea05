"""Draw a small switch: cells in lines at the inputs, the crossbar, and the outputs.

A cell is a box with the number of its output. Filled: it crosses. With a broken edge: it waits,
although its output is idle, because another one stands in front of it. Pointers are triangles like
the hands of clocks: those of outputs come from the left, those of inputs from above.
"""

__all__ = ["crossbar"]

from collections.abc import Iterator

from course_lib.ferry.one_switch import PORTS, Cell
from course_lib.figures.drawing.scene import Part
from course_lib.figures.drawing.svg import box, element, group, label, path
from course_lib.figures.switching.switch_view import ACCEPT, CROSS, GRANT, SwitchView

_TOP, _ROW = 78.0, 45.0  # pixels, as all that follows: the first input, and from one to the next
_LINES, _END, _PITCH = 62.0, 284.0, 31.0  # where lines begin and end; from cell to cell
_LEFT, _COLUMN = 336.0, 48.0  # the first output, and from one to the next
_OUT = _TOP + PORTS * _ROW  # the middle of the cells that have crossed
_WIDE, _HIGH, _SMALL = 24.0, 22.0, 12.5
_RING = 8.0


def crossbar(view: SwitchView) -> list[Part]:
    """Return the parts of the switch in one phase of a slot."""
    return [
        Part("frame", _frame(view)),
        *_pointers(view),
        *_crosspoints(view),
        *_cells(view),
    ]


def _y(i: int) -> float:
    return _TOP + i * _ROW


def _x(output: int) -> float:
    return _LEFT + output * _COLUMN


def _frame(view: SwitchView) -> str:
    """Draw lines, wires and outputs, which never move."""
    last_x, shapes = _x(PORTS - 1), []
    for i in range(PORTS):
        y = _y(i)
        shapes.append(label(f"in {i}", 20, y + 4, "quiet", _SMALL))
        widths = PORTS if not view.has_one_line else 1
        width = (_END - _LINES) / widths
        shapes += [
            box("box", _LINES + n * width + 1, y - 15, width - 2, 30, 3) for n in range(widths)
        ]
        shapes.append(path("axis", f"M{_END:g} {y:g}H{last_x:g}"))
    for output in range(PORTS):
        x, is_idle = _x(output), view.is_over and output in view.slot.idle
        shapes.append(path("axis", f"M{x:g} {_TOP - 22:g}V{_OUT - 14:g}"))
        shapes.append(box("gap" if is_idle else "box", x - 20, _OUT - 14, 40, 28, 3))
        name = f"out {output}"
        shapes.append(label(name, x, _OUT + 30, "quiet", _SMALL, "middle", _COLUMN - 3))
        shapes.append(label("idle" if is_idle else "", x, _OUT + 4, "ink", _SMALL, "middle"))
    return "".join(shapes)


def _pointers(view: SwitchView) -> Iterator[Part]:
    of_outputs, of_inputs = view.pointers
    for output, i in enumerate(of_outputs):
        yield Part(f"output pointer {output}", group(
            f"output {output} grants to input {i} first",
            path("ink", f"M{_x(output) - 21:g} {_y(i) - 5:g}l10 5l-10 5z"),
        ))  # fmt: skip
    for i, output in enumerate(of_inputs):
        yield Part(f"input pointer {i}", group(
            f"input {i} accepts output {output} first",
            path("ink", f"M{_x(output) - 5:g} {_y(i) - 21:g}h10l-5 10z"),
        ))  # fmt: skip


def _crosspoints(view: SwitchView) -> Iterator[Part]:
    """Draw a ring for a request, half a disc for a grant, a disc where a cell crosses."""
    slot = view.slot
    for output, inputs in enumerate(slot.requested):
        for i in inputs:
            x, y = _x(output), _y(i)
            is_granted = slot.granted is not None and slot.granted[output] == i
            crosses = slot.matched[i] == output and view.phase in (ACCEPT, CROSS)
            shapes = element("circle", cx=x, cy=y, r=_RING, class_="neither")
            what = f"input {i} requests output {output}"
            if crosses:
                shapes = element("circle", cx=x, cy=y, r=_RING, class_="calm")
                what = f"input {i} sends to output {output}"
            elif is_granted and view.phase in (GRANT, ACCEPT, CROSS):
                shapes += path("calm", f"M{x:g} {y - _RING:g}a{_RING:g} {_RING:g} 0 0 0 0 16z")
                what = f"output {output} grants to input {i}"
            yield Part(f"point {i} {output}", group(what, shapes))


def _cells(view: SwitchView) -> Iterator[Part]:
    slot = view.slot
    for i, line in enumerate(slot.lines):
        goes = slot.first(i, slot.matched[i]) if slot.matched[i] >= 0 else None
        blocked = view.blocked(i) if view.is_over else ()
        for cell, place in _places(view, line):
            x, y, look, ink = place, _y(i), "neither", "ink strong"
            if cell == goes and view.phase in (ACCEPT, CROSS):
                look, ink = "calm", "on-mark strong"
                if view.is_over:
                    x, y = _x(cell.output), _OUT
            shape = box(look, x - _WIDE / 2, y - _HIGH / 2, _WIDE, _HIGH, 4)
            if cell.number in blocked:
                shape += _broken_edge(x, y)
            yield Part(f"cell {cell.number}", group(
                f"a cell for output {cell.output}",
                shape, label(f"{cell.output}", x, y + 4.5, ink, _SMALL, "middle"),
            ))  # fmt: skip


def _broken_edge(x: float, y: float) -> str:
    return element(
        "rect", x=x - _WIDE / 2, y=y - _HIGH / 2, width=_WIDE, height=_HIGH, rx=4, class_="torn",
        stroke_dasharray="4 3",
    )  # fmt: skip


def _places(view: SwitchView, line: tuple[Cell, ...]) -> Iterator[tuple[Cell, float]]:
    """Yield each cell with its middle: the first one of a line stands at its right end."""
    if view.has_one_line:
        for place, cell in enumerate(line):
            yield cell, _END - 17 - place * _PITCH
        return
    width, ahead = (_END - _LINES) / PORTS, [0] * PORTS
    for cell in line:
        end = _LINES + (cell.output + 1) * width - 15
        yield cell, end - ahead[cell.output] * (_WIDE + 1)
        ahead[cell.output] += 1
