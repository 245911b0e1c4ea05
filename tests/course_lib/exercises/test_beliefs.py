"""What shows a belief, on hand-made cases; `test_verdict.py` has what becomes of it."""

from course_lib.exercises.beliefs import beliefs_shown
from course_lib.exercises.registry import Case, Expected, all_exercises
from course_lib.runner.runner import Result

SHAPE = all_exercises()[0]
CASES = tuple(
    Case("doubles", (number,), Expected(2 * number), "", {"squares": Expected(number**2)})
    for number in (3, 4, 5)
)


def shown(*values):
    return beliefs_shown(SHAPE, CASES, [Result("value", value) for value in values])


def test_results_that_are_all_right_show_no_belief():
    assert shown(6, 8, 10) == ()


def test_what_a_belief_gives_everywhere_shows_it():
    assert shown(9, 16, 25) == ("squares",)


def test_a_right_result_where_the_belief_would_be_wrong_speaks_against_it():
    assert shown(9, 16, 10) == ()
