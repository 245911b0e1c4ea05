"""The picture of a board tells what the board knows: by shape, in words, and to who listens."""

import re

import pytest

from course_lib.conformance import SCENARIOS, Board, Outcome, conformance_board
from course_lib.conformance.board import untried
from course_lib.figures import conformance_figure
from course_lib.figures.conformance.board_scene import board_scene
from networks.broken_routers import BROKEN
from networks.spoiled_frames import library_router


@pytest.fixture(scope="module")
def mixed():
    """A board with clauses of all four outcomes."""
    tried = conformance_board(BROKEN["asks for the destination"].make).results
    return Board((*tried[:140], *untried().results[140:]))


def marks(scene):
    return {part.key: part.markup for part in scene.parts if part.key.startswith("clause ")}


def shape(markup):
    """Return which shapes a mark is made of, without places and words."""
    return tuple(re.findall(r"<(circle|rect|path)\b[^>]*class=\"(?!hit|chosen)([\w-]+)\"", markup))


def test_every_clause_has_a_mark_and_each_outcome_a_shape_of_its_own(mixed):
    drawn = marks(board_scene(mixed, None))
    assert len(drawn) == len(SCENARIOS)
    shapes = {outcome: set() for outcome in Outcome}
    for each in mixed.results:
        shapes[each.outcome].add(shape(drawn[f"clause {each.scenario.name}"]))
    assert [len(found) for found in shapes.values()] == [1, 1, 1, 1]
    assert len(set().union(*shapes.values())) == len(Outcome)


def test_the_text_holds_every_clause_with_its_outcome_and_place(mixed):
    text = conformance_figure(mixed).text
    for each in mixed.results:
        start = f" {each.outcome:<11} {each.scenario.name} ("
        row = next(line for line in text.splitlines() if start in line)
        assert each.scenario.section in row
        assert (", extra)" in row) is not each.scenario.is_core


def test_who_listens_hears_the_counts_of_every_standard(mixed):
    spoken = conformance_figure(mixed).alternative_text
    for standard in {each.standard for each in SCENARIOS}:
        assert f"{standard}: " in spoken
    for outcome in Outcome:
        assert str(mixed.core.count(outcome)) in spoken


def test_left_alone_it_shows_the_first_failure_in_words(mixed):
    words = conformance_figure(mixed).svg
    first = mixed[mixed.names(Outcome.FAILED)[0]]
    assert f">{first.scenario.name}: failed<" in words
    assert "Differs: " in words
    assert "Sent: " in words
    assert "Came: " in words


def test_any_clause_can_be_shown(mixed):
    name = mixed.names(Outcome.NOT_REACHED)[0]
    figure = conformance_figure(mixed, name)
    assert f">{name}: not reached<" in figure.svg
    assert "Why: it rests on" in figure.svg
    with pytest.raises(KeyError, match="no clause"):
        conformance_figure(mixed, "nothing")


@pytest.mark.parametrize("name", [each.name for each in SCENARIOS])
def test_what_is_said_of_a_clause_finds_room(name):
    """Also of a clause that failed: nothing that is wrong is left out at the end."""
    board = conformance_board(library_router, [each for each in SCENARIOS if each.name == name])
    failed = board.results[0]._replace(outcome=Outcome.FAILED, why="the last words")
    assert "Differs: the last words" in conformance_figure(Board((failed,))).svg


def test_a_mark_can_be_pressed_and_says_what_it_is(mixed):
    scene = board_scene(mixed, None, can_be_pressed=True)
    assert len(scene.touches) == len(SCENARIOS)
    assert {touch.action for touch in scene.touches} == {"clause"}
    assert f"{SCENARIOS[0].name}: failed" in [touch.name for touch in scene.touches]
