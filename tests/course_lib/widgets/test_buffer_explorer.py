"""The buffer explorer answers at once, sharpens when left alone, and keeps what is sharp."""

import asyncio
import xml.etree.ElementTree as ET
from concurrent.futures import ThreadPoolExecutor

import pytest

from course_lib.ferry.shared_line import POLICIES, Sharing, measure_sharing, run_sharing
from course_lib.widgets import buffer_explorer
from course_lib.widgets.buffer_explorer import explore_buffers


@pytest.fixture
def explorer():
    return explore_buffers(50, 25, 30)


def in_a_loop(*moves):
    """Make an explorer inside an event loop, as in a notebook; let it rest after the moves."""

    async def rest():
        explorer = explore_buffers(50, 4, 30)
        for move in moves:
            move(explorer)
        await asyncio.wait_for(explorer._task, 20)
        return explorer

    # In a thread of its own: browser tests leave a loop running in the one of the tests.
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(lambda: asyncio.run(rest())).result()


def test_it_begins_with_a_coarse_answer(explorer):
    run = run_sharing(Sharing(25, 30), 50, to_s=15, from_s=5)
    assert explorer.is_coarse
    assert explorer.measured == measure_sharing(50, [run])
    assert "Coarse, from one run of 15 s" in explorer.words.value
    assert "Square-root rule: 50 packets" in explorer.words.value


def test_slider_and_number_of_the_buffer_move_together(explorer):
    explorer.buffer.value = 120
    assert explorer.buffer_number.value == 120
    explorer.buffer_number.value = 7
    assert explorer.buffer.value == 7
    assert "Buffer 7 packets" in explorer.words.value


def test_sharpening_gives_a_band_from_four_seeds(explorer):
    explorer.sharpen()
    assert not explorer.is_coarse
    assert explorer.measured.utilisation.runs == 4
    assert "From 4 runs of 60 s, mean and 95 % band" in explorer.words.value


def test_what_is_sharp_stays_in_the_curves_until_the_flows_change(explorer):
    for size in (50, 100):
        explorer.buffer.value = size
        explorer.sharpen()
    explorer.buffer.value = 200
    rows = explorer.twin.value.split("theory: one flow")[0]
    assert all(f"{size:>8.0f}" in rows for size in (50, 100, 200))
    explorer.flows.value = 4
    rows = explorer.twin.value.split("theory: one flow")[0]
    assert f"{100:>8.0f}" not in rows
    assert f"{200:>8.0f}" in rows


def test_in_a_notebook_it_sharpens_by_itself():
    explorer = in_a_loop()
    assert not explorer.is_coarse
    assert explorer.measured.utilisation.x == 50


def test_only_the_last_of_quick_moves_is_sharpened(monkeypatch):
    runs = []
    real = buffer_explorer.BufferExplorer._sharp_runs
    monkeypatch.setattr(
        buffer_explorer.BufferExplorer,
        "_sharp_runs",
        lambda self: runs.append(self.buffer.value) or real(self),
    )
    explorer = in_a_loop(
        *[lambda one, size=size: setattr(one.buffer, "value", size) for size in (10, 20, 30)]
    )
    assert runs == [30]
    assert explorer.measured.utilisation.x == 30


def test_an_error_while_sharpening_is_shown(monkeypatch):
    monkeypatch.delenv("HOP_BY_HOP_STRICT")

    def fail(self):
        raise ValueError("no such <line>")

    monkeypatch.setattr(buffer_explorer.BufferExplorer, "_sharp_runs", fail)
    explorer = in_a_loop()
    assert "ValueError: no such &lt;line&gt;" in explorer.notice.value


@pytest.mark.parametrize("policy", POLICIES)
@pytest.mark.parametrize("spread", [0, 5, 15, 30])
def test_every_choice_is_drawn(explorer, policy, spread):
    explorer.policy.value, explorer.spread.value = policy, spread
    assert f"dropped {policy}" in explorer.picture.value
    pictures = ET.fromstring(f"<a>{explorer.picture.value}</a>")
    assert [one.get("role") for one in pictures] == ["img", "img"]
    assert explorer.notice.value == ""


def test_every_control_has_a_name(explorer):
    named = (explorer.buffer_number, explorer.flows, explorer.spread, explorer.policy)
    assert all(control.description for control in named)
    assert explorer.buffer.tooltip  # has no name in ipywidgets; the number beside it has


@pytest.mark.parametrize("given", [(-1, 25, 30), (301, 25, 30), (50, 3, 30), (50, 25, 7)])
def test_what_is_not_offered_is_refused(given):
    with pytest.raises(ValueError, match="offered are buffers from 0 to 300"):
        explore_buffers(*given)
