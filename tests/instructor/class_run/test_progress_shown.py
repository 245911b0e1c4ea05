"""On a terminal there is a bar with the time left; elsewhere a line now and then."""

import io
import itertools

import pytest
from rich.console import Console

from instructor.class_run.progress_shown import shown_progress, time_left


def told(numbers, of, *, terminal, step_s):
    said = io.StringIO()
    console = Console(file=said, force_terminal=terminal, width=80)
    clock = itertools.count(0, step_s)
    with shown_progress(console, of, clock=lambda: next(clock)) as show:
        for number in numbers:
            show(number)
    return said.getvalue()


def test_a_terminal_shows_how_many_of_how_many():
    assert "4/4" in told(range(5), 4, terminal=True, step_s=1)


def test_elsewhere_there_is_a_line_only_now_and_then():
    lines = told(range(1, 101), 100, terminal=False, step_s=1).splitlines()
    assert lines[0] == "30 of 100 graded, about 70 s left."
    assert len(lines) == 3


def test_the_time_before_the_first_one_is_not_counted():
    """Working out the cases takes long, once: 1 of 100 after 60 s does not mean 99 minutes."""
    said = io.StringIO()
    clock = iter([0.0, 60.0, 95.0])
    with shown_progress(Console(file=said, width=80), 100, clock=lambda: next(clock)) as show:
        show(1)
        show(36)
    first, second = said.getvalue().splitlines()
    assert first == "1 of 100 graded."
    assert second == "36 of 100 graded, about 64 s left."


def test_a_short_run_says_nothing_where_there_is_no_terminal():
    assert told(range(5), 4, terminal=False, step_s=1) == ""


@pytest.mark.parametrize(
    ("done", "of", "passed_s", "words"),
    [(1, 2, 10.0, "about 10 s left"), (10, 1000, 10.0, "about 16 min left")],
)
def test_the_time_left_is_the_time_passed_in_proportion(done, of, passed_s, words):
    assert time_left(done, of, passed_s) == words
