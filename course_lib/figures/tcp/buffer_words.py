"""Say in words what the picture of a shared line and its buffer shows."""

__all__ = ["BufferView", "BufferWords"]

from dataclasses import dataclass

from course_lib.ferry.shared_line import (
    PIPE_PACKETS,
    Measured,
    Sharing,
    expected_use,
    root_packets,
)
from course_lib.figures.drawing.svg import Words
from course_lib.figures.headers.header_words import counted, table
from course_lib.figures.tcp.buffer_curves import (
    LOWEST_USE,
    SIZE_TICKS,
    USE_TICKS,
    WAIT_TICKS,
    Curve,
    curve_name,
)
from course_lib.figures.tcp.pipe_and_tank import moment_in_words, scale_in_words
from course_lib.figures.tcp.saw_teeth import Teeth
from course_lib.figures.tcp.slow_second import Moment

_HEAD = ("buffer", "use %", "theory %", "mean wait ms", "99 of 100 ms", "lost %", "runs")


@dataclass(frozen=True, slots=True)
class BufferView:
    """All that the picture shows, but for the moment.

    As long as the reader is asked, there is nothing but the flows and the guess. `shown` is what
    was measured for the buffer of now, `curve` for the setting of now, and `ghosts` for settings
    before it. `answer` is the smallest buffer of the curve that reaches `goal_percent`.
    """

    sharing: Sharing
    goal_percent: int
    guess: int | None = None
    shown: Measured | None = None
    is_coarse: bool = True
    curve: tuple[Measured, ...] = ()
    ghosts: tuple[Curve, ...] = ()
    teeth: Teeth | None = None
    answer: int | None = None

    @property
    def buffer_packets(self) -> int | None:
        """Return where the wall stands; None: nobody has moved it yet."""
        return round(self.shown.utilisation.x) if self.shown else self.guess


class BufferWords:
    """The words of a view: title with the use, all numbers in tables, sentences to hear.

    A view has many moments, so what they share is put into words once.
    """

    def __init__(self, view: BufferView) -> None:
        self._view = view
        name = curve_name(view.sharing)
        self._shape = (
            "Senders on the right, a buffer as a tank with a movable wall, the line as a pipe, as "
            f"long as if all round trips took 60 ms. {' '.join(scale_in_words())}"
        )
        self._flag = "" if view.guess is None else f"Your guess: {view.guess} packets."
        if view.shown is None:
            self._title = f"{name}: which buffer is enough for {view.goal_percent} % use?"
            self._rest = [_axes()]
            self._sentences = ["The tank and the pipe are empty. Below, an axis of buffer sizes."]
            return
        if view.answer is not None:
            self._flag += f" Measured: {view.goal_percent} % from {view.answer} packets on."
        self._title = f"{name}: {_in_short(view.shown)}"
        rule = f"Square-root rule: {root_packets(view.sharing.flows)} packets."
        teeth = _teeth(view.teeth) if view.teeth else ""
        rows = _flows(view.teeth) if view.teeth else []
        self._rest = [rule, *_tables(view, view.shown), teeth, *rows, _axes()]
        self._sentences = [_use(view.shown), rule, teeth, _before(view)]

    def at(self, moment: Moment | None) -> Words:
        """Return the words for a moment; None: nothing is under way."""
        now = "" if moment is None else " ".join(moment_in_words(self._view.sharing, moment))
        text = [self._title, self._shape, now, self._flag, *self._rest]
        spoken = [self._shape, now, self._flag, *self._sentences]
        return Words(self._title, "\n".join(filter(None, text)), " ".join(filter(None, spoken)))


def _in_short(one: Measured) -> str:
    use, _, slow, _ = one
    return f"buffer {use.x:.0f}, use {100 * use.mean:.1f} %, 99 of 100 wait {slow.mean:.1f} ms"


def _use(one: Measured) -> str:
    use, wait, slow, lost = one
    return (
        f"With a buffer of {use.x:.0f} packets the line is used to {100 * use.mean:.1f} %; one "
        f"flow, or flows in step, would use {100 * expected_use(use.x):.1f} %, by theory, if "
        f"packets are dropped when it is full. The mean wait is {wait.mean:.1f} ms, 99 of 100 wait "
        f"{slow.mean:.1f} ms at most, {100 * lost.mean:.2f} % are lost."
    )


def _before(view: BufferView) -> str:
    """Return the settings that stay as thin lines, each with its largest buffer."""
    told = [
        f"{letter}: {curve_name(ghost.sharing)}, {_in_short(ghost.measured[-1])}"
        for letter, ghost in zip("abc", view.ghosts, strict=False)
    ]
    return f"Thin lines are settings before: {'; '.join(told)}." if told else ""


def _tables(view: BufferView, shown: Measured) -> list[str]:
    rows = {one.utilisation.x: one for one in (*view.curve, shown)}
    lines = table([_HEAD, *(_row(rows[size]) for size in sorted(rows))])
    for letter, ghost in zip("abc", view.ghosts, strict=False):
        lines.append(f"{letter}: {curve_name(ghost.sharing)}")
        lines += table([_HEAD, *map(_row, ghost.measured)])
    return [*lines, "Theory: one flow, or flows in step, and drops when the buffer is full."]


def _row(one: Measured) -> tuple[str, ...]:
    use, wait, slow, lost = one
    theory = 100 * expected_use(use.x)
    return (
        f"{use.x:.0f}", f"{100 * use.mean:.2f}", f"{theory:.2f}", f"{wait.mean:.2f}",
        f"{slow.mean:.2f}", f"{100 * lost.mean:.2f}", f"{use.runs}",
    )  # fmt: skip


def _teeth(teeth: Teeth) -> str:
    drawn = len(teeth.windows)
    which = f"{drawn} of {teeth.flows} windows" if teeth.flows > drawn else counted(drawn, "window")
    full = f"the pipe is full at {PIPE_PACKETS}, pipe and buffer at {teeth.full}"
    return (
        f"From {teeth.times_s[0]:.1f} s to {teeth.times_s[-1]:.1f} s all windows together lie "
        f"between {min(teeth.sums):.0f} and {max(teeth.sums):.0f} packets; {full}. "
        f"Below, {which}, each from lowest to highest."
    )


def _flows(teeth: Teeth) -> list[str]:
    rows = [("flow", "lowest window", "highest")]
    for flow, row in enumerate(teeth.windows, start=1):
        rows.append((f"{flow}", f"{min(row):.0f}", f"{max(row):.0f}"))
    return table(rows)


def _axes() -> str:
    sizes, uses, waits = (
        ", ".join(map(str, ticks)) for ticks in (SIZE_TICKS, USE_TICKS, WAIT_TICKS)
    )
    return (
        f"Axes: buffer {sizes} packets; use {uses} %, lower ones at the edge of "
        f"{LOWEST_USE:.0f} %; wait {waits} ms."
    )
