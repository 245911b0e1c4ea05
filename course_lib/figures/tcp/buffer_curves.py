"""Draw what a buffer buys and what it costs: use of the line and waiting, against its size.

Two plots side by side. On the left the share of the line that is used, and what theory expects of
one flow, or of flows in step; an upright line marks the square-root rule. On the right the mean
wait and the wait that 99 of 100 packets do not exceed; the dashed line is the wait behind a full
buffer. The size that is shown at present is ringed.
"""

__all__ = ["buffer_curves"]

from collections.abc import Sequence

from matplotlib.axes import Axes

from course_lib.experiments.intervals import Band
from course_lib.ferry.shared_line import (
    PACKET_S,
    PIPE_PACKETS,
    Measured,
    Sharing,
    expected_use,
    root_packets,
)
from course_lib.figures.drawing.band_plot import band_marks
from course_lib.figures.drawing.palette import LIGHT
from course_lib.figures.drawing.plots import (
    LOOKS,
    THEORY,
    Plots,
    entitle,
    name_parts,
    new_plots,
    theory_line,
)
from course_lib.figures.drawing.svg import Words

_SIZE = (760.0, 330.0)  # pixels, as the places of the two plots
_BOXES = ((62.0, 84.0, 280.0, 196.0), (456.0, 84.0, 280.0, 196.0))
_LARGEST = 300  # packets
_BESIDE = 8  # packets, so that a mark at 0 is whole
_FULL = 100.0  # percent


def buffer_curves(
    sharing: Sharing,
    measured: Sequence[Measured],
    shown: int | None = None,
    *,
    axes: Sequence[Axes] | None = None,
) -> Plots:
    """Draw the measures of one sharing; `shown` is the size of the buffer to be ringed.

    `axes` are two to draw on; left out, there is a new picture.
    """
    rows = sorted(measured, key=lambda one: one.utilisation.x)
    plots = new_plots(_SIZE, *_BOXES, axes=axes)
    _use(plots[0], sharing, rows, shown)
    _waits(plots[1], rows, shown)
    entitle(plots[0], _words(sharing, rows, shown), 58)
    return plots


def _use(ax: Axes, sharing: Sharing, rows: Sequence[Measured], shown: int | None) -> None:
    bands = [
        Band(x, _FULL * mean, _FULL * low, _FULL * high, runs)
        for x, mean, low, high, runs in (row.utilisation for row in rows)
    ]
    theory = [(x, _FULL * expected_use(x)) for x in range(0, _LARGEST + 1, 5)]
    _marks(ax, bands, 0, "measured", shown)
    ax.plot(*zip(*theory, strict=True), **THEORY, label="theory: one flow, or all in step")
    _upright(ax, root_packets(sharing.flows))
    low = min([50.0, *(band.low for band in bands)])
    ax.set_ylim(max(low // 10 * 10, 0), 105)
    _finish(ax, "use of the line (%)")


def _waits(ax: Axes, rows: Sequence[Measured], shown: int | None) -> None:
    most_ms = 1000 * PACKET_S * _LARGEST
    _marks(ax, [row.wait_ms for row in rows], 0, "mean", shown)
    _marks(ax, [row.wait_99_ms for row in rows], 1, "99 of 100 wait at most", shown)
    theory_line(ax, [(0, 0), (_LARGEST, most_ms)], "behind a full buffer")
    ax.set_ylim(-0.02 * most_ms, 1.1 * most_ms)
    _finish(ax, "wait in the buffer (ms)")


def _finish(ax: Axes, y_name: str) -> None:
    ax.set_xlim(-_BESIDE, _LARGEST + _BESIDE)
    name_parts(ax, "buffer (packets that may wait)", y_name, above=27, columns=2)


def _marks(ax: Axes, bands: Sequence[Band], place: int, name: str, shown: int | None) -> None:
    """Draw bands, and a ring around what is shown."""
    band_marks(ax, bands, LOOKS[place], name)
    for one in bands:
        if one.x == shown:
            ax.plot(one.x, one.mean, "o", ms=17, mfc="none", mec=LIGHT.calm, mew=2.5, zorder=3)


def _upright(ax: Axes, root: int) -> None:
    """Mark the square-root rule, with its name on the side where there is room."""
    at_right = root > 0.6 * _LARGEST
    ax.axvline(root, color=LIGHT.line, linestyle=(0, (4, 3)), linewidth=1)
    ax.annotate(
        f"square-root rule: {root}", (root, 0), (-5 if at_right else 5, 8),
        xycoords=ax.get_xaxis_transform(), textcoords="offset points", fontsize=12, color=LIGHT.ink,
        horizontalalignment="right" if at_right else "left",
    )  # fmt: skip


def _words(sharing: Sharing, rows: Sequence[Measured], shown: int | None) -> Words:
    how = "in step" if sharing.in_step else f"round trips 60 ± {sharing.spread_ms} ms"
    who = "1 flow" if sharing.flows == 1 else f"{sharing.flows} flows, {how}"
    title, root = f"{who}; dropped {sharing.policy}", root_packets(sharing.flows)
    text = [title, f"pipe: {PIPE_PACKETS} packets; square-root rule: {root}"]
    text.append(f"{'buffer':>8}{'use %':>9}{'theory %':>10}{'mean ms':>9}{'99 % ms':>9}{'runs':>6}")
    for use, wait, slow, _ in rows:
        text.append(
            f"{use.x:>8.0f}{_FULL * use.mean:>9.2f}{_FULL * expected_use(use.x):>10.2f}"
            f"{wait.mean:>9.2f}{slow.mean:>9.2f}{use.runs:>6}"
        )
    text.append("theory: one flow, or all flows in step")
    start = f"Two plots against the size of the buffer, for {who}."
    rule = f"The square-root rule asks for {root} packets."
    here = [row for row in rows if row.utilisation.x == shown] or rows[-1:]
    told = f"{_in_words(here[0])} {rule}" if here else f"{rule} Nothing is measured yet."
    return Words(title, "\n".join(text), f"{start} {told}")


def _in_words(measured: Measured) -> str:
    use, wait, slow, _ = measured
    return (
        f"With {use.x:.0f} packets the line is used to {_FULL * use.mean:.1f} %; one flow, or "
        f"flows in step, would use {_FULL * expected_use(use.x):.1f} %. The mean wait is "
        f"{wait.mean:.1f} ms, and 99 of 100 packets wait {slow.mean:.1f} ms at most."
    )
