"""The wait explorer asks first, answers at once, plays a long run when left alone."""

import pytest

from course_lib.ferry.one_line import ARRIVALS, RANDOM_MIX, SIZES, LineTraffic, progress, run_line
from course_lib.widgets import wait_explorer
from course_lib.widgets.wait_explorer import explore_waits
from pages.touched_figure import controls, in_a_loop, pictures_of, said


@pytest.fixture(autouse=True)
def short_runs(monkeypatch):
    """Runs as short as the picture allows; which numbers come out does not matter here."""
    monkeypatch.setattr(wait_explorer, "_COARSE", 20)
    monkeypatch.setattr(wait_explorer, "_LONG", 100)
    monkeypatch.setattr(wait_explorer, "_REST_S", 0)


@pytest.fixture
def explorer():
    """Return one whose answer is out."""
    explorer = explore_waits(guess=4)
    explorer.act("answer")
    return explorer


def answered():
    """Return one of which the answer is asked first."""
    return explore_waits(guess=4)


def test_it_asks_first_with_half_the_load_before_the_eyes():
    explorer = explore_waits()
    assert explorer.percent == 50
    assert "How long do they wait at 90 %?" in said(explorer)
    explorer.act("answer")
    assert "Guess first." in explorer.view["problem"]
    assert explorer.percent == 50


@pytest.mark.parametrize("given", [7, "7", "0x7"])
def test_the_guess_is_given_on_the_ladder_or_in_the_field(given):
    explorer = explore_waits()
    explorer.act("guess", given)
    assert controls(explorer)["guess"] == "7"
    assert [one.value for one in explorer.picture.scenes[-1].touches if one.is_on] == [7]
    explorer.act("answer")
    assert explorer.percent == 90
    assert "At 90 %: Your guess: 7. The answer: 9." in said(explorer)


def test_it_begins_with_a_coarse_answer_and_plays_the_long_run(explorer):
    first, last = pictures_of(explorer, "load", 80)
    assert len(first.scenes) == 1
    assert "A short run so far." in " ".join(first.words)
    assert not first.plays
    assert not first.moves  # the hand is there already
    steps = progress(run_line(LineTraffic(), 0.8, 100, 0))
    assert len(last.scenes) == len(steps) == 10
    assert last.plays
    assert explorer.band == steps[-1].wait
    for scene, step in zip(last.scenes, steps, strict=True):
        assert f"{step.packets:,} packets" in scene.words.text
        assert f"measured {step.wait.mean:.2f}" in scene.words.title


def test_what_was_measured_stays_and_settings_before_become_ghosts(explorer):
    explorer.act("load", 70)
    explorer.act("sizes", SIZES[1])
    assert explorer.traffic == RANDOM_MIX
    text = explorer.picture.scenes[-1].words.text
    assert "a: at random, exponential" in text
    rows = text.partition("a: at random")[2].splitlines()
    assert [row.split()[0] for row in rows[2:4]] == ["70", "90"]
    explorer.act("sizes", SIZES[0])
    assert "a: at random, Internet mix" in explorer.picture.scenes[-1].words.text


def test_no_more_than_three_ghosts(explorer):
    for arrivals in ARRIVALS[::-1]:
        explorer.act("arrivals", arrivals)
        for sizes in SIZES:
            explorer.act("sizes", sizes)
    ghosts = [one.key for one in explorer.picture.scenes[-1].parts if one.key.startswith("ghost")]
    assert ghosts == ["ghost a", "ghost b", "ghost c"]


def test_guess_and_answer_belong_to_the_setting_that_was_asked(explorer):
    explorer.act("sizes", SIZES[2])
    assert "Your guess" not in said(explorer)
    assert "guess" not in {one.key for one in explorer.picture.scenes[-1].parts}
    explorer.act("sizes", SIZES[0])
    assert "Your guess: 4. The answer:" in said(explorer)


def test_run_again_is_another_run(explorer):
    before = explorer.band
    explorer.act("again")
    assert explorer.band != before
    assert "Run 2, step by step." in said(explorer)
    assert explorer.band == progress(run_line(LineTraffic(), 0.9, 100, 1))[-1].wait


@pytest.mark.parametrize("typed", ["4", "96", "9.5", "full"])
def test_a_load_that_is_not_offered_is_refused(explorer, typed):
    explorer.act("written", typed)
    assert explorer.view["problem"].startswith("Nothing has changed.")
    assert explorer.percent == 90


def test_only_the_last_of_quick_moves_is_measured_long(monkeypatch):
    long, real = [], wait_explorer._long_run
    monkeypatch.setattr(wait_explorer, "_long_run", lambda *now: long.append(now[1]) or real(*now))
    explorer = in_a_loop(answered, ("load", 60), ("load", 70), ("load", 80))
    assert long == [80]
    assert (explorer.percent, explorer.is_coarse) == (80, False)


def test_an_error_in_the_long_run_is_shown(monkeypatch):
    monkeypatch.delenv("HOP_BY_HOP_STRICT")

    def fail(*_):
        raise ValueError("no such <line>")

    monkeypatch.setattr(wait_explorer, "_long_run", fail)
    explorer = in_a_loop(answered)
    assert "ValueError: no such <line>" in explorer.view["problem"]
    assert explorer.is_coarse


def test_every_control_and_touch_has_a_name(explorer):
    assert [one.name for one in explorer.picture.controls] == [
        "Load, 5 to 95 %", "Packets come", "Sizes", "Run again",
    ]  # fmt: skip
    assert [one.name for one in explorer.picture.scenes[-1].touches] == ["Load of the line"]


@pytest.mark.parametrize("guess", [-1, 26, 2.5, "nine"])
def test_a_guess_that_is_not_on_the_ladder_is_refused(guess):
    with pytest.raises(ValueError, match="a whole number from 0 to 25"):
        explore_waits(guess=guess)
