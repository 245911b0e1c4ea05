"""The switch explorer asks first, plays slot by slot, and fills the curve at the end."""

import pytest

from course_lib.ferry.one_switch import BY_LOT, IN_TURN, MEASURED_PORTS, ONE_LINE, SWITCHES
from course_lib.widgets import switch_explorer
from course_lib.widgets.switch_explorer import explore_switch
from pages.touched_figure import said

SLOTS = 5


@pytest.fixture(autouse=True)
def short_runs(monkeypatch):
    """Runs as short as the picture allows; which numbers come out does not matter here."""
    monkeypatch.setattr(switch_explorer, "_LONG", 200)
    monkeypatch.setattr(switch_explorer, "_SLOTS", SLOTS)


@pytest.fixture
def explorer():
    """Return one whose answer is out."""
    explorer = explore_switch(guess=80)
    explorer.act("answer")
    return explorer


def titles(explorer):
    return [scene.words.title for scene in explorer.picture.scenes]


def keys(scene, kind):
    return {part.key for part in scene.parts if part.key.split()[0] == kind}


def test_it_asks_first_and_tells_neither_who_crosses_nor_what_theory_says():
    explorer = explore_switch()
    (scene,) = explorer.picture.scenes
    assert "What share of the 4 outputs is busy" in said(explorer)
    words = " ".join(scene.words)
    assert "cross" not in words.replace("crossbar", "")
    assert "theory" not in words
    assert keys(scene, "measured") == keys(scene, "theory") == set()
    explorer.act("answer")
    assert "Guess first." in explorer.view["problem"]


@pytest.mark.parametrize("given", [70, "70", "0x46"])
def test_the_guess_is_given_on_the_ladder_or_in_the_field(given):
    explorer = explore_switch()
    explorer.act("guess", given)
    assert [one.value for one in explorer.picture.scenes[-1].touches if one.is_on] == [70]
    explorer.act("answer")
    assert "4 ports: Your guess: 70. The answer: 65.5." in said(explorer)


def test_a_slot_has_two_steps_and_four_where_ports_take_turns(explorer):
    sizes = len(MEASURED_PORTS)
    assert len(explorer.picture.scenes) == 2 * SLOTS + sizes
    explorer.act("switch", IN_TURN)
    assert titles(explorer)[:5] == [
        "Slot 1: inputs request", "Slot 1: outputs grant", "Slot 1: inputs accept",
        "Slot 1: 1 of 4 cross", "Slot 2: inputs request",
    ]  # fmt: skip
    assert len(explorer.picture.scenes) == 4 * SLOTS + sizes


def test_it_plays_by_itself_and_fills_the_curve_from_one_port_on(explorer):
    assert explorer.picture.plays
    *_, before, last = explorer.picture.scenes
    assert before.words.text.count("±") == len(MEASURED_PORTS) - 1
    assert last.words.text.count("±") == len(MEASURED_PORTS)
    assert [band.x for band in explorer.measured[ONE_LINE]] == list(MEASURED_PORTS)


def test_pointers_that_move_only_when_accepted_come_apart(explorer):
    """All outputs grant to one input at first; from slot 4 on each grants to another one."""
    explorer.act("switch", IN_TURN)
    told = [words for words in titles(explorer) if words.endswith("cross")]
    assert told == [f"Slot {slot}: {min(slot, 4)} of 4 cross" for slot in range(1, SLOTS + 1)]


def test_a_cell_is_the_same_part_in_its_line_and_at_its_output(explorer):
    first, crossed, *_ = explorer.picture.scenes
    assert keys(first, "cell") == keys(crossed, "cell")
    moved = [
        part.key
        for part, before in zip(crossed.parts, first.parts, strict=False)
        if part.key.startswith("cell") and part.markup != before.markup
    ]
    assert moved


def test_what_was_measured_before_stays_as_thin_lines(explorer):
    for switch in SWITCHES[1:]:
        explorer.act("switch", switch)
    last = explorer.picture.scenes[-1]
    assert keys(last, "ghost") == {"ghost a", "ghost b"}
    assert f"before, {ONE_LINE}: 1 port " in last.words.text
    assert f"before, {BY_LOT}: 1 port " in last.words.text


def test_the_guess_belongs_to_the_switch_that_was_asked(explorer):
    explorer.act("switch", BY_LOT)
    assert keys(explorer.picture.scenes[-1], "guess") == set()
    explorer.act("switch", ONE_LINE)
    assert keys(explorer.picture.scenes[-1], "guess") == {"guess"}


def test_run_again_is_another_run(explorer):
    before = explorer.measured[ONE_LINE], titles(explorer)
    explorer.act("again")
    assert (explorer.measured[ONE_LINE], titles(explorer)) != before


def test_every_control_has_a_name(explorer):
    assert [one.name for one in explorer.picture.controls] == ["Cells wait in", "Run again"]


@pytest.mark.parametrize("guess", [-1, 101, 2.5, True, "half"])
def test_a_guess_that_is_no_share_is_refused(guess):
    with pytest.raises(ValueError, match="a whole number from 0 to 100"):
        explore_switch(guess=guess)
