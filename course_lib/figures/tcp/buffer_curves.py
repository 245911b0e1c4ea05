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
    Words,
    describe,
    legend_above,
    name_axes,
    new_plots,
    theory_line,
    title_above,
)

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
    title = f"{_who(sharing)}; dropped {sharing.policy}"
    plots = Plots(axes) if axes is not None else new_plots(_SIZE, *_BOXES)
    _use(plots[0], sharing, rows, shown)
    _waits(plots[1], rows, shown)
    title_above(plots[0], title, 58)
    spoken = _alternative_text(sharing, rows, shown)
    describe(plots[0], Words(title, _text_twin(title, sharing, rows), spoken))
    return plots


def _who(sharing: Sharing) -> str:
    if sharing.flows == 1:
        return "1 flow"
    how = "in step" if sharing.in_step else f"round trips 60 ± {sharing.spread_ms} ms"
    return f"{sharing.flows} flows, {how}"


def _use(ax: Axes, sharing: Sharing, rows: Sequence[Measured], shown: int | None) -> None:
    bands = [_scaled(row.utilisation, _FULL) for row in rows]
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
    _marks(ax, [row.wait_99_ms for row in rows], 1, "99 of 100 wait less", shown)
    theory_line(ax, [(0, 0), (_LARGEST, most_ms)], "behind a full buffer")
    ax.set_ylim(-0.02 * most_ms, 1.1 * most_ms)
    _finish(ax, "wait in the buffer (ms)")


def _finish(ax: Axes, y_name: str) -> None:
    ax.set_xlim(-_BESIDE, _LARGEST + _BESIDE)
    name_axes(ax, "buffer (packets that may wait)", y_name)
    legend_above(ax, 27, columns=2)


def _scaled(band: Band, factor: float) -> Band:
    return band._replace(mean=factor * band.mean, low=factor * band.low, high=factor * band.high)


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


def _alternative_text(sharing: Sharing, rows: Sequence[Measured], shown: int | None) -> str:
    here = [row for row in rows if row.utilisation.x == shown] or list(rows[-1:])
    root = root_packets(sharing.flows)
    start = f"Two plots against the size of the buffer, for {_who(sharing)}."
    rule = f"The square-root rule asks for {root} packets."
    if not here:
        return f"{start} {rule} Nothing is measured yet."
    one = here[0]
    return (
        f"{start} With {one.utilisation.x:.0f} packets the line is used to "
        f"{_FULL * one.utilisation.mean:.1f} %; one flow, or flows in step, would use "
        f"{_FULL * expected_use(one.utilisation.x):.1f} %. The mean wait is "
        f"{one.wait_ms.mean:.1f} ms, and 99 of 100 packets wait less than "
        f"{one.wait_99_ms.mean:.1f} ms. {rule}"
    )


def _text_twin(title: str, sharing: Sharing, rows: Sequence[Measured]) -> str:
    text = [title, f"pipe: {PIPE_PACKETS} packets; square-root rule: {root_packets(sharing.flows)}"]
    text.append(f"{'buffer':>8}{'use %':>9}{'theory %':>10}{'mean ms':>9}{'99 % ms':>9}{'runs':>6}")
    for one in rows:
        x = one.utilisation.x
        text.append(
            f"{x:>8.0f}{_FULL * one.utilisation.mean:>9.2f}{_FULL * expected_use(x):>10.2f}"
            f"{one.wait_ms.mean:>9.2f}{one.wait_99_ms.mean:>9.2f}{one.utilisation.runs:>6}"
        )
    return "\n".join([*text, "theory: one flow, or all flows in step"])
