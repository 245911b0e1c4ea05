"""Slide the size of a buffer, and see how full its line is, how long packets wait, and why.

A move runs a short simulation at once: a coarse answer, in some 20 ms. When the slider has rested
for a moment, longer runs with several seeds follow in other threads, and sharpen it. What they
measured stays in the curves, until the flows or the policy change. The pictures are those of
`course_lib.figures.tcp.buffer_curves` and `course_lib.figures.tcp.window_traces`.
"""

__all__ = ["BufferExplorer", "explore_buffers"]

import asyncio
from functools import partial

import ipywidgets as widgets

from course_lib.experiments.sweeps import sweep
from course_lib.ferry.shared_line import (
    PACKET_S,
    PIPE_PACKETS,
    POLICIES,
    Measured,
    Sharing,
    expected_use,
    measure_sharing,
    root_packets,
    run_sharing,
)
from course_lib.figures.drawing.plots import shown
from course_lib.figures.tcp.buffer_curves import buffer_curves
from course_lib.figures.tcp.window_traces import window_traces
from course_lib.tcp.simulation import TcpRun
from course_lib.widgets.live_figure import LiveFigure, choice, looks, slider_beside

_COARSE_S, _COARSE_FROM_S = 15.0, 5.0  # simulated time, and what of it is left out
_SHARP_S, _SHARP_FROM_S, _SEEDS = 60.0, 20.0, range(4)
_SHOWN_S = 12.0  # of the traces
_REST_S = 0.35  # the slider has come to rest
_LARGEST = 300
_FLOWS = (1, 2, 4, 9, 16, 25, 36, 49, 64)
_SPREADS = [("none, in step", 0), ("60 ± 5 ms", 5), ("60 ± 15 ms", 15), ("60 ± 30 ms", 30)]


def explore_buffers(
    buffer_packets: int = 50, flows: int = 25, spread_ms: int = 30
) -> "BufferExplorer":
    """Show the line from Reed Pier to Lantern Pier with controls for its buffer and its flows.

    The first run of all prepares machine code, which takes some seconds, and says so. Raises
    `ValueError` for what the controls do not offer.
    """
    offered = [spread for _, spread in _SPREADS]
    if not 0 <= buffer_packets <= _LARGEST or flows not in _FLOWS or spread_ms not in offered:
        raise ValueError(
            f"offered are buffers from 0 to {_LARGEST}, {_FLOWS} flows and spreads of {offered} ms"
        )
    return BufferExplorer(buffer_packets, Sharing(flows, spread_ms))


class BufferExplorer(LiveFigure):
    """The live figure of a buffer; `measured` is what it shows now, `is_coarse` tells how."""

    def __init__(self, buffer_packets: int, sharing: Sharing) -> None:
        self._make_controls(buffer_packets, sharing)
        super().__init__((self.buffer_number, self.buffer), (self.flows, self.spread, self.policy))
        self._kept: dict[int, Measured] = {}
        self._kept_of = sharing
        self._task: asyncio.Task[None] | None = None
        self.when_changed(self._redraw, self.buffer, self.flows, self.spread, self.policy)
        self._redraw()

    @property
    def sharing(self) -> Sharing:
        """Return what the controls say about the flows and the policy."""
        return Sharing(self.flows.value, self.spread.value, self.policy.value)

    def sharpen(self) -> None:
        """Run longer, with several seeds, and draw that; happens by itself in a notebook."""
        self._show(self.sharing, self.buffer.value, self._sharp_runs())

    def _make_controls(self, buffer_packets: int, sharing: Sharing) -> None:
        self.buffer_number = widgets.BoundedIntText(
            buffer_packets, max=_LARGEST, description="Buffer (packets)", **looks("110px", "200px")
        )
        self.buffer = slider_beside(self.buffer_number)
        self.buffer.tooltip = "Buffer in packets: slide to choose"
        self.buffer.layout.width = "420px"
        self.flows = choice("Flows", _FLOWS, sharing.flows, **looks("96px", "180px"))
        self.spread = choice("Round trips", _SPREADS, sharing.spread_ms, **looks("96px", "250px"))
        self.policy = choice("Drops", POLICIES, sharing.policy, **looks("96px", "260px"))

    def _redraw(self) -> None:
        run = run_sharing(self.sharing, self.buffer.value, to_s=_COARSE_S, from_s=_COARSE_FROM_S)
        self._show(self.sharing, self.buffer.value, [run])
        self._sharpen_later()

    def _sharpen_later(self) -> None:
        """Set a task for when the slider rests; without an event loop nobody would run it."""
        if self._task is not None:
            self._task.cancel()
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            return
        self._task = loop.create_task(self._sharpen_soon())

    async def _sharpen_soon(self) -> None:
        await asyncio.sleep(_REST_S)
        sharing, buffer = self.sharing, self.buffer.value
        with self.telling():
            runs = await asyncio.to_thread(self._sharp_runs)
            if (sharing, buffer) == (self.sharing, self.buffer.value):  # else: a later one comes
                self._show(sharing, buffer, runs)

    def _sharp_runs(self) -> list[TcpRun]:
        sharing, buffer = self.sharing, self.buffer.value
        options = {"to_s": _SHARP_S, "from_s": _SHARP_FROM_S}
        return sweep([partial(run_sharing, sharing, buffer, seed=n, **options) for n in _SEEDS])

    def _show(self, sharing: Sharing, buffer: int, runs: list[TcpRun]) -> None:
        if sharing != self._kept_of:
            self._kept, self._kept_of = {}, sharing
        self.is_coarse = len(runs) == 1
        self.measured = measure_sharing(buffer, runs)
        if not self.is_coarse:  # only what is sharp is kept
            self._kept[buffer] = self.measured
        rows = {buffer: self.measured, **self._kept}
        curves = buffer_curves(sharing, list(rows.values()), buffer)
        traces = window_traces(runs[0], PIPE_PACKETS, last_s=_SHOWN_S)
        words = _in_words(sharing, self.measured, self.is_coarse)
        self.draw(words, shown(curves), shown(traces))


def _in_words(sharing: Sharing, measured: Measured, is_coarse: bool) -> list[str]:
    one, wait, slow, lost = measured
    how = (
        f"Coarse, from one run of {_COARSE_S:g} s; it sharpens when the slider rests."
        if is_coarse
        else f"From {one.runs} runs of {_SHARP_S:g} s, mean and 95 % band (Student's t)."
    )
    around = "" if is_coarse else f" ± {50 * (one.high - one.low):.2f}"
    full_ms = 1000 * PACKET_S * one.x
    return [
        f"Buffer {one.x:.0f} packets: the line is used to {100 * one.mean:.2f}{around} %. "
        f"By theory one flow, or flows in step, would use {100 * expected_use(one.x):.2f} % "
        "if packets are dropped only when the buffer is full.",
        f"A packet waits {wait.mean:.1f} ms on average; 99 of 100 wait "
        f"{slow.mean:.1f} ms at most (behind a full buffer: {full_ms:.1f} ms). "
        f"Lost: {100 * lost.mean:.2f} %.",
        f"Square-root rule: {root_packets(sharing.flows)} packets. {how}",
    ]
