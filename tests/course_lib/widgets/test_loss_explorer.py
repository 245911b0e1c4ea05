"""The loss explorer asks first, answers at once, measures longer when it is left alone."""

import pytest

from course_lib.ferry.lossy_line import PATTERNS, LossyFlow, rate_mbit_s, run_lossy
from course_lib.figures.loss.aftermath import PLACES
from course_lib.figures.loss.rate_axes import NOTCHES, every_at
from course_lib.widgets import loss_explorer
from course_lib.widgets.loss_explorer import explore_loss
from pages.touched_figure import controls, in_a_loop, pictures_of, said


@pytest.fixture(autouse=True)
def short_runs(monkeypatch):
    """Runs as short as the picture allows; which numbers come out does not matter here."""
    for name, length in {"_SHARP_S": 20.0, "_CURVE_S": 5.0, "_REST_S": 0, "_SEEDS": 2}.items():
        monkeypatch.setattr(loss_explorer, name, length)
    monkeypatch.setattr(loss_explorer, "_CURVE", (8, 200, 2_000))


@pytest.fixture
def explorer():
    """Return one whose answer is out."""
    explorer = explore_loss(guess=0.24)
    explorer.act("answer")
    return explorer


def answered():
    """Return one of which the answer is asked first."""
    return explore_loss(guess=0.24)


def test_it_asks_first_with_one_loss_in_ten_thousand_before_the_eyes():
    explorer = explore_loss()
    assert explorer.flow == LossyFlow(10_000)
    assert "about 24 of 50 Mbit/s are left. How many, if one in 100 is?" in said(explorer)
    explorer.act("answer")
    assert "Guess first." in explorer.view["problem"]
    assert explorer.flow.every == 10_000


@pytest.mark.parametrize("given", ["0.5", " 0.50 ", "5e-1"])
def test_the_guess_is_given_on_the_ladder_or_in_the_field(given):
    explorer = explore_loss()
    explorer.act("guess", given)
    assert controls(explorer)["guess"] == "0.5"
    assert [one.value for one in explorer.picture.scenes[-1].touches if one.is_on] == ["0.5"]
    explorer.act("answer")
    assert explorer.flow.every == 100
    assert f"Your guess: 0.5. The answer: {explorer.band.mean:.2f}." in said(explorer)


def test_a_coarse_answer_comes_first_then_a_sharp_one_then_the_curve(explorer):
    coarse, sharp = pictures_of(explorer, "period", 30)  # the curve is known from before
    assert "coarse: one run of 20 s" in coarse.scenes[-1].words.text
    assert not coarse.moves  # the hand is there already
    assert "one run of 20 s: all are alike" in sharp.scenes[-1].words.text
    assert explorer.flow == LossyFlow(1_000)
    run = run_lossy(LossyFlow(1_000), from_s=20, to_s=40)
    assert explorer.band.mean == rate_mbit_s(run)
    *_, curve = pictures_of(explorer, "acked", "every second")
    for picture, periods in ((sharp, ["8", "100", "200", "1,000", "2,000"]),
                             (curve, ["8", "200", "1,000", "2,000"])):  # fmt: skip
        table = picture.scenes[-1].words.text.partition("one lost in")[2].splitlines()[1:]
        assert [line.split()[0] for line in table[: len(periods)]] == periods


def test_at_random_several_runs_give_an_interval(explorer):
    explorer.act("pattern", PATTERNS[1])
    assert explorer.band.runs == 2
    assert "95 % interval of 2 runs" in explorer.picture.scenes[-1].words.text
    assert "lost on a clock" in explorer.picture.scenes[-1].words.text.partition("Before:")[2]
    before = explorer.band
    explorer.act("again")
    assert explorer.band != before


def test_what_one_packet_costs_is_played_when_it_has_been_dragged_out(explorer):
    dragged, played = pictures_of(explorer, "packet", 70)
    assert len(dragged.scenes) == 1
    assert not dragged.moves
    assert played.plays
    assert len(played.scenes) == 4
    assert explorer.after.cost_words in said(explorer)
    assert "is lost; the window is" in played.scenes[0].words.text
    explorer.act("packet", 0)
    assert explorer.after is None
    assert "Drag the packet at the left into the flow" in said(explorer)


@pytest.mark.parametrize("place", [1, PLACES // 2, PLACES])
@pytest.mark.parametrize("notch", [NOTCHES[0], 30, NOTCHES[-1]])
def test_a_packet_may_be_lost_anywhere_in_the_stretch(explorer, notch, place):
    explorer.act("period", notch)
    explorer.act("packet", place)
    assert explorer.flow.every == every_at(notch)
    assert explorer.after.place == place
    assert explorer.after.stretch.times_s == explorer._shown.stretch.times_s


def test_another_period_puts_the_packet_back(explorer):
    explorer.act("packet", 70)
    explorer.act("written", "500")
    assert explorer.after is None


def test_the_guess_belongs_to_the_setting_that_was_asked(explorer):
    explorer.act("acked", "every second")
    assert explorer.flow.packets_per_ack == 2
    assert "guess" not in {one.key for one in explorer.picture.scenes[-1].parts}
    explorer.act("acked", "each")
    assert "guess" in {one.key for one in explorer.picture.scenes[-1].parts}


@pytest.mark.parametrize("typed", ["4", "100001", "9.5", "often"])
def test_a_period_that_is_not_offered_is_refused(explorer, typed):
    explorer.act("written", typed)
    assert explorer.view["problem"].startswith("Nothing has changed.")
    assert explorer.flow.every == 100


def test_only_the_last_of_quick_moves_is_measured_long(monkeypatch):
    sharp, real = [], loss_explorer._sharp_band
    monkeypatch.setattr(loss_explorer, "_curve", lambda *_: {})
    monkeypatch.setattr(
        loss_explorer, "_sharp_band", lambda flow, *more: sharp.append(flow) or real(flow, *more)
    )
    explorer = in_a_loop(answered, ("period", 21), ("period", 25), ("period", 30))
    assert [one.every for one in sharp] == [1_000]
    assert (explorer.flow.every, explorer.is_coarse) == (1_000, False)


def test_an_error_in_a_long_run_is_shown(monkeypatch):
    monkeypatch.delenv("HOP_BY_HOP_STRICT")

    def fail(*_):
        raise ValueError("no such <line>")

    monkeypatch.setattr(loss_explorer, "_sharp_band", fail)
    explorer = in_a_loop(answered)
    assert "ValueError: no such <line>" in explorer.view["problem"]
    assert explorer.is_coarse


def test_every_control_and_touch_has_a_name(explorer):
    assert [one.name for one in explorer.picture.controls] == [
        "One in, 5 to 100,000", "Lost", "Acknowledged", "Run again",
    ]  # fmt: skip
    assert [one.name for one in explorer.picture.scenes[-1].touches] == [
        "A packet that is lost besides", "One packet is lost in",
    ]  # fmt: skip


@pytest.mark.parametrize("guess", [0, -1, 51])
def test_a_guess_that_the_line_cannot_carry_is_refused(guess):
    with pytest.raises(ValueError, match=r"a rate from 0\.03 to 50"):
        explore_loss(guess=guess)
