"""Students and exercises, sorted both ways; and the dots, one a student."""

import re
from itertools import pairwise

import pytest

from course_lib.exercises.verdict import Outcome
from instructor.reporting.class_report import class_report
from instructor.reporting.grid import COLUMNS, NOTHING, grid, parts
from instructor.reporting.totals_picture import totals_picture, totals_sentence

pytestmark = pytest.mark.usefixtures("own_wording")


@pytest.fixture
def report(made):
    """Give six students: 1.1 is easy, 1.3 is hard, and one has handed in nothing of 2.1."""
    hand_ins = []
    for number, name in enumerate("abcdef"):
        word = made.answer(made.WORD, Outcome.RIGHT)
        hard = Outcome.RIGHT if number == 5 else Outcome.WRONG
        hand_ins.append(made.hand_in(name, word, made.answer(made.FRAGMENT, hard)))
        if number:
            half = made.answer(made.FOLD, Outcome.PARTLY_RIGHT, (1, 0))
            hand_ins.append(made.hand_in(name, half))
    return class_report(made.batch(hand_ins))


def test_the_weakest_exercise_stands_left_and_the_fewest_points_on_top(report):
    found = grid(report)
    assert [one.exercise.id for one in found.columns] == ["1.3", "2.1", "1.1"]
    assert "".join(one.student for one in found.rows) == "abcdef"
    assert [one.points for one in found.rows] == [2, 3, 3, 3, 3, 6]
    assert found.rows[0].cells[1] == NOTHING
    assert [one.is_final for one in found.rows[:2]] == [False, True]


@pytest.mark.parametrize(
    ("outcome", "earned", "drawn", "words"),
    [
        (Outcome.RIGHT, (), "✓", "right"),
        (Outcome.PARTLY_RIGHT, (1, 0), "1", "partly right, 1 of 3"),
        (Outcome.WRONG, (), "✗", "wrong"),
        (Outcome.ERROR, (), "!", "error"),
        (Outcome.NO_ANSWER, (), "○", "no answer"),
        (Outcome.COULD_NOT_TELL, (), "?", "could not tell"),
    ],
)
def test_every_cell_has_a_sign_and_words(made, outcome, earned, drawn, words):
    answer = made.answer(made.FRAGMENT, outcome, earned)
    found = grid(class_report(made.batch([made.hand_in("alder", answer)])))
    (cell,) = found.rows[0].cells
    assert (cell.drawn, cell.words) == (drawn, words)


def test_what_has_no_figure_stands_last(made):
    small = [made.hand_in("a", made.answer(made.FOLD, Outcome.WRONG))]
    large = [made.hand_in(name, made.answer(made.WORD, Outcome.RIGHT)) for name in "abcdef"]
    found = grid(class_report(made.batch([*small, *large])))
    assert [one.exercise.id for one in found.columns] == ["1.1", "2.1"]


def dots(drawn):
    places = re.findall(r'class="(dot[^"]*)" cx="([\d.]+)%" cy="([\d.]+)" r="([\d.]+)"', str(drawn))
    return [(look, float(x), float(y), float(r)) for look, x, y, r in places]


def test_there_is_one_dot_a_student_further_right_with_more_points(report):
    """Of 7 points; of those with 3, one stands above the other."""
    found = dots(totals_picture(report))
    assert [look for look, *_ in found] == ["dot open"] + ["dot"] * 5
    across = [x for _, x, _, _ in found]
    assert across == sorted(across)
    assert [across.count(x) for x in sorted(set(across))] == [1, 4, 1]
    places = [100 * points / 7 for points in (2, 3, 3, 3, 3, 6)]
    assert across == pytest.approx(places, abs=100 / 48)
    heights = [y for _, x, y, _ in found if x == across[1]]
    assert heights == sorted(heights, reverse=True)


@pytest.mark.parametrize("size", [1, 30, 500])
def test_dots_never_cover_each_other_nor_grow_out_of_the_picture(made, size):
    right = made.answer(made.WORD, Outcome.RIGHT)
    report = class_report(made.batch([made.hand_in(f"s{n:03}", right) for n in range(size)]))
    drawn = totals_picture(report)
    found = dots(drawn)
    heights = sorted(y for _, _, y, _ in found)
    assert len(found) == size
    assert all(y - r >= 0 for _, _, y, r in found)
    assert all(b - a >= 2 * found[0][3] - 0.2 for a, b in pairwise(heights))
    assert int(re.search(r'height="(\d+)"', str(drawn))[1]) <= 200


def test_the_picture_says_in_words_what_it_shows(report):
    said = totals_sentence(report)
    assert said == (
        "Of 7 points there are, half of the 6 students have 3 or more; "
        "the middle half have from 3 to 3."
    )
    assert said in str(totals_picture(report))


def test_a_dot_says_whose_it_is_and_an_odd_id_is_text(made):
    hand_in = made.hand_in("<b>\u202e", made.answer(made.WORD, Outcome.RIGHT))
    drawn = str(totals_picture(class_report(made.batch([hand_in]))))
    assert "<title>&lt;b&gt;[U+202E]: 2</title>" in drawn


@pytest.mark.parametrize(("columns", "widths"), [(0, []), (1, [1]), (32, [32]), (33, [16, 17]),
                                                 (66, [22, 22, 22])])  # fmt: skip
def test_a_wide_grid_is_cut_into_tables_that_fit_on_paper(columns, widths):
    found = parts(columns)
    assert [len(range(columns)[part]) for part in found] == widths
    assert [one for part in found for one in range(columns)[part]] == list(range(columns))
    assert max(widths, default=0) <= COLUMNS
