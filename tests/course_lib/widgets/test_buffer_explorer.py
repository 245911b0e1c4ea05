"""The buffer explorer asks first, answers at once, sharpens when left alone, forgets nothing."""

import asyncio
import re

import pytest

from course_lib.ferry.shared_line import POLICIES, Sharing, expected_use, measure_sharing
from course_lib.widgets import buffer_explorer, buffer_measures
from course_lib.widgets.buffer_explorer import explore_buffers
from course_lib.widgets.buffer_measures import SIZES, CurvesSoFar, RunLength, coarse_run, sharp_run
from pages.touched_figure import controls, in_a_loop, pictures_of, said

SPREADS = {"60 ms, in step": 0, "60 ± 5 ms": 5, "60 ± 15 ms": 15, "60 ± 30 ms": 30}


@pytest.fixture(autouse=True)
def short_runs(monkeypatch):
    """Runs as short as the picture allows; which numbers come out does not matter here."""
    for name in ("COARSE", "_COARSE_OF_FEW", "CURVE", "_CURVE_OF_FEW"):
        monkeypatch.setattr(buffer_measures, name, RunLength(2, 1))
    for module in (buffer_measures, buffer_explorer):
        monkeypatch.setattr(module, "SHARP", RunLength(3, 1, 4))
    monkeypatch.setattr(buffer_explorer, "_REST_S", 0)


@pytest.fixture
def explorer():
    """Return one whose answer is out, at a buffer of 50."""
    explorer = explore_buffers(25, 30, guess=50)
    explorer.act("answer")
    return explorer


def answered():
    """Return one of which the answer is asked first."""
    return explore_buffers(25, 30, guess=50)


def told(explorer):
    return explorer.picture.scenes[-1].words


def test_it_asks_first_and_measures_nothing():
    explorer = explore_buffers(25, 30)
    assert "how many packets must be able to wait" in said(explorer)
    assert explorer.measured is None
    assert explorer.picture.scenes[-1].touches[0].words == "no guess yet"
    explorer.act("answer")
    assert "Guess first." in explorer.view["problem"]
    assert explorer.measured is None


@pytest.mark.parametrize("given", [70, "70", "0x46"])
def test_the_guess_is_given_with_the_wall_or_in_the_field(given):
    explorer = explore_buffers(25, 30)
    explorer.act("guess", given)
    assert controls(explorer)["guess"] == "70"
    assert "Your guess: 70 packets." in told(explorer).alternative_text
    explorer.act("answer")
    assert explorer.measured.utilisation.x == 70  # the wall stays where the reader put it
    assert "Your guess: 70. The answer:" in said(explorer)


def test_the_answer_is_the_smallest_size_measured_that_is_enough(explorer):
    uses = {one.utilisation.x: one.utilisation.mean for one in explorer._view().curve}
    enough = min(size for size, use in uses.items() if use >= 0.97)
    assert set(SIZES) <= set(uses)
    assert f"Your guess: 50. The answer: {enough:.0f}" in said(explorer)
    assert f"97 % from {enough:.0f} packets on" in told(explorer).text


def test_it_begins_with_a_coarse_answer_and_ends_with_a_sharp_one(explorer):
    first, *_, last = pictures_of(explorer, "buffer", 60)
    coarse = measure_sharing(60, [coarse_run(Sharing(25, 30), 60)]).utilisation.mean
    assert "Coarse: one short run so far." in " ".join(first.words)
    assert f"the line is used to {100 * coarse:.2f} %" in " ".join(first.words)
    assert len(first.scenes) == 1
    runs = [sharp_run(Sharing(25, 30), 60, seed) for seed in range(4)]
    assert explorer.measured == measure_sharing(60, runs)
    assert "From 4 runs of 3 s, with 95 % band." in " ".join(last.words)
    assert len(last.scenes) == 43  # a second of it, to play
    assert not first.moves  # the hand is already there


def test_the_curve_grows_while_it_is_measured():
    explorer = explore_buffers(25, 30, guess=50)
    pictures = pictures_of(explorer, "answer", None)
    rows = [len(re.findall(r"(?m)^\d+ .* 1$", one.scenes[-1].words.text)) for one in pictures]
    growing = rows[:-1]  # the last one has the size of now sharply
    assert growing == sorted(growing)
    assert growing[0] == 1
    assert growing[-1] == len(SIZES)
    assert len(set(growing)) >= 3


def test_wall_and_field_of_the_buffer_move_together(explorer):
    explorer.act("buffer", 120)
    assert controls(explorer)["written"] == "120"
    explorer.act("written", "7")
    assert explorer.picture.scenes[-1].touches[0].now == 7
    assert "Buffer 7:" in said(explorer)


@pytest.mark.parametrize("typed", ["2.7", "301", "-1", "", "many"])
def test_what_is_no_size_is_refused_with_a_word(explorer, typed):
    before = explorer.picture
    explorer.act("written", typed)
    assert "Nothing has changed." in explorer.view["problem"]
    assert explorer.picture == before
    explorer.act("buffer", 60)
    assert explorer.view["problem"] == ""


def test_what_is_sharp_stays_when_the_wall_comes_back(explorer):
    sharp = explorer.measured
    explorer.act("buffer", 120)
    first, *_ = pictures_of(explorer, "buffer", 50)
    assert explorer.measured == sharp
    assert "From 4 runs" in " ".join(first.words)


def test_the_last_three_settings_stay_as_thin_lines_with_a_letter(explorer):
    names = ["25 flows, 60 ± 30 ms", "25 flows in step", "4 flows in step", "4 flows, 60 ± 5 ms"]
    explorer.act("step", "step")
    assert f"a: {names[0]}" in told(explorer).text
    explorer.act("flows", "4")
    explorer.act("spread", "60 ± 5 ms")
    explorer.act("policy", POLICIES[2])
    rows = [line for line in told(explorer).text.splitlines() if re.match("[abc]: ", line)]
    assert rows == [f"{letter}: {name}" for letter, name in zip("abc", names[1:], strict=True)]
    keys = [part.key for part in explorer.picture.scenes[-1].parts]
    assert sum(key.startswith("ghost ") for key in keys) == 3


def test_a_setting_that_comes_back_is_no_ghost_of_itself(explorer):
    curve = explorer._view().curve
    explorer.act("step", "step")
    explorer.act("step", "apart")
    assert explorer.sharing == Sharing(25, 30)
    assert [ghost.sharing for ghost in explorer._view().ghosts] == [Sharing(25, 0)]
    assert explorer._view().curve == curve


def test_in_step_is_a_switch_between_both(explorer):
    explorer.act("spread", "60 ± 15 ms")
    explorer.act("step", "step")
    assert controls(explorer)["spread"] == "60 ms, in step"
    (_, switch) = explorer.picture.scenes[-1].touches
    assert (switch.is_on, switch.value) == (True, "apart")
    explorer.act("step", "apart")
    assert controls(explorer)["spread"] == "60 ± 15 ms"


def test_guess_and_answer_belong_to_the_setting_that_was_asked(explorer):
    explorer.act("step", "step")
    assert "Your guess" not in said(explorer)
    assert "your guess: 50" not in told(explorer).text
    explorer.act("step", "apart")
    assert "Your guess: 50. The answer:" in said(explorer)


def test_in_a_notebook_it_sharpens_by_itself():
    explorer = in_a_loop(answered)
    assert not explorer.is_coarse
    assert explorer.measured.utilisation.x == 50


def test_only_the_last_of_quick_moves_is_sharpened(monkeypatch):
    sharpened = []
    real = buffer_explorer.sharp_run
    monkeypatch.setattr(
        buffer_explorer,
        "sharp_run",
        lambda sharing, size, seed: sharpened.append(size) or real(sharing, size, seed),
    )
    explorer = in_a_loop(answered, *[("buffer", size) for size in (10, 20, 30)])
    assert set(sharpened) == {30}
    assert explorer.measured.utilisation.x == 30


def test_the_kernel_stays_free_while_it_measures(monkeypatch):
    """What is long runs in other threads: the loop of the kernel goes on meanwhile."""
    threads = set()
    real = buffer_explorer.sharp_run

    def noted(*arguments):
        threads.add(asyncio.events._get_running_loop())
        return real(*arguments)

    monkeypatch.setattr(buffer_explorer, "sharp_run", noted)
    in_a_loop(answered)
    assert threads == {None}


def test_an_error_while_sharpening_is_shown(monkeypatch):
    monkeypatch.delenv("HOP_BY_HOP_STRICT")

    def fail(*_):
        raise ValueError("no such <line>")

    monkeypatch.setattr(buffer_explorer, "sharp_run", fail)
    explorer = in_a_loop(answered)
    assert "ValueError: no such <line>" in explorer.view["problem"]
    assert explorer.is_coarse


@pytest.mark.parametrize("policy", POLICIES)
@pytest.mark.parametrize("spread", SPREADS)
def test_every_choice_is_drawn(explorer, policy, spread):
    explorer.act("policy", policy)
    explorer.act("spread", spread)
    assert explorer.sharing == Sharing(25, SPREADS[spread], policy)
    title = told(explorer).title
    assert ("in step" in title) == (SPREADS[spread] == 0)
    assert (f"drops {policy}" in title) == (policy != POLICIES[0])
    assert explorer.view["problem"] == ""


@pytest.mark.parametrize("flows", ["1", "2", "9", "64"])
def test_every_number_of_flows_is_drawn(explorer, flows):
    explorer.act("flows", flows)
    assert told(explorer).title.startswith(f"{flows} flow")
    assert explorer.view["problem"] == ""


def test_words_above_agree_with_picture_and_text(explorer):
    use, wait, slow, lost = explorer.measured
    shown = f"{100 * use.mean:.2f}"
    assert f"the line is used to {shown} ±" in said(explorer)
    assert f"99 of 100 at most {slow.mean:.1f} ms" in said(explorer)
    assert f"use {100 * use.mean:.1f} %, 99 of 100 wait {slow.mean:.1f} ms" in told(explorer).title
    row = next(line for line in told(explorer).text.splitlines() if line.startswith("50 "))
    assert row.split() == [
        "50",
        shown,
        f"{100 * expected_use(50):.2f}",
        f"{wait.mean:.2f}",
        f"{slow.mean:.2f}",
        f"{100 * lost.mean:.2f}",
        "4",
    ]
    assert f"{100 * lost.mean:.2f} % are lost" in told(explorer).alternative_text


def test_every_control_and_touch_has_a_name(explorer):
    assert [control.name for control in explorer.picture.controls] == [
        "Buffer, 0 to 300", "Flows", "Round trips", "Drops",
    ]  # fmt: skip
    names = [touch.name for touch in explorer.picture.scenes[-1].touches]
    assert names == ["Wall of the buffer", "All flows in step"]


def test_all_of_it_fits_a_laptop_with_room_for_the_controls(explorer):
    _, height = explorer.picture.scenes[-1].size
    assert height <= 640 - 150  # two rows, two lines of words, the fold


def test_curves_so_far_know_which_sizes_are_missing():
    known, sharing = CurvesSoFar(), Sharing(25, 30)
    known.turn_to(sharing)
    assert known.missing(sharing) == list(SIZES)
    assert known.smallest(sharing, 0) is None
    assert known.ghosts(Sharing(25, 0)) == ()
    for size in SIZES:
        known.keep(sharing, measure_sharing(size, [coarse_run(sharing, 50)]))
    assert known.missing(sharing) == []
    assert known.smallest(sharing, 0) == 0
    assert known.smallest(sharing, 1.1) is None
    assert [one.sharing for one in known.ghosts(Sharing(25, 0))] == [sharing]


@pytest.mark.parametrize("given", [(3, 30, None), (25, 7, None), (25, 30, -1), (25, 30, 301)])
def test_what_is_not_offered_is_refused(given):
    flows, spread_ms, guess = given
    with pytest.raises(ValueError, match=r"offered are \(1, 2, 4"):
        explore_buffers(flows, spread_ms, guess=guess)
