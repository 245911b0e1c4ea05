"""The figures of a class, counted by hand; what is left out, and what is said about it."""

import random
from dataclasses import replace

import pytest

from course_lib.exercises.verdict import Outcome
from instructor.reporting import words
from instructor.reporting.class_report import class_report
from instructor.reporting.intervals import Estimate, wilson

pytestmark = pytest.mark.usefixtures("own_wording")

PLANTS = ("alder", "bracken", "clover", "dock", "elder", "fennel", "gorse", "heather", "iris",
          "ivy", "knapweed", "larch")  # fmt: skip


@pytest.fixture
def twelve(made):
    """Give twelve hand-ins with two exercises each."""
    offset = (Outcome.PARTLY_RIGHT, (1, 0), "offset-in-octets")
    flags = (Outcome.WRONG, (), "flags-in-low-bits")
    second = [offset] * 5 + [flags] * 2 + [
        (Outcome.RIGHT,), (Outcome.ERROR,), (Outcome.NO_ANSWER,), (Outcome.DAMAGED,),
    ]  # fmt: skip
    answers = [made.answer(made.FRAGMENT, *one) for one in second]
    answers.append(made.answer(made.FRAGMENT, Outcome.COULD_NOT_TELL, note="two different cells"))
    return [
        made.hand_in(plant, made.answer(made.WORD, Outcome.RIGHT), answer)
        for plant, answer in zip(PLANTS, answers, strict=True)
    ]


def test_outcomes_are_counted_apart(made, twelve):
    _, fragment = class_report(made.batch(twelve)).exercises
    counts = {one.outcome: one.hand_ins for one in fragment.outcomes}
    assert (fragment.hand_ins, len(fragment.tried)) == (12, 9)
    assert fragment.tried == set(PLANTS) - {"ivy", "knapweed", "larch"}
    assert counts == {
        Outcome.RIGHT: 1, Outcome.PARTLY_RIGHT: 5, Outcome.WRONG: 2, Outcome.ERROR: 1,
        Outcome.NO_ANSWER: 1, Outcome.DAMAGED: 1, Outcome.COULD_NOT_TELL: 1,
        Outcome.OUT_OF_TIME: 0, Outcome.BAD_VALUE: 0, Outcome.TWO_RUNS_DIFFER: 0,
    }  # fmt: skip
    assert sum(one.share for one in fragment.outcomes) == pytest.approx(1)


def test_mean_share_of_points_leaves_out_what_is_undecided(made, twelve):
    """Eleven decided: one with 3 of 3 points, five with 1 of 3, five with none."""
    word, fragment = class_report(made.batch(twelve)).exercises
    assert word.points == wilson(12, 12)
    assert fragment.points == wilson((3 + 5 * 1) / 3, 11)
    assert fragment.points.share == pytest.approx(8 / 33)


def test_misconceptions_are_ranked_among_those_who_tried(made, twelve):
    report = class_report(made.batch(twelve))
    assert [(one.name, one.students, one.tried) for one in report.misconceptions] == [
        ("offset-in-octets", 5, 9),
        ("flags-in-low-bits", 2, 9),
    ]
    assert report.misconceptions[0].share == wilson(5, 9)
    assert report.misconceptions[1].who == ("fennel", "gorse")
    assert (report.not_right, report.named) == (8, 7)


def test_students_have_their_totals_in_the_order_of_their_ids(made, twelve):
    fold = [made.hand_in("alder", made.answer(made.FOLD, Outcome.PARTLY_RIGHT, (1, 0)))]
    lost = [made.refused("zinnia_01.ipynb", "the file is empty", "zinnia")]
    students = class_report(made.batch(fold + twelve[::-1], lost)).students
    first, last = students[0], students[-1]
    assert [one.student for one in students] == [*PLANTS, "zinnia"]
    assert (first.points, first.of, len(first.units)) == (2 + 1 + 1, 7, 2)
    assert (last.points, last.of, last.units) == (0, 0, ())


@pytest.mark.parametrize(
    ("student", "is_final"),
    [("alder", True), ("bracken", False), ("larch", False), ("zinnia", False)],
    ids=["all is there", "a unit is missing", "an answer waits", "a file waits"],
)
def test_a_total_is_final_once_nothing_is_missing_and_nothing_waits(
    made, twelve, student, is_final
):
    fold = made.answer(made.FOLD, Outcome.RIGHT)
    hand_ins = [*twelve, made.hand_in("alder", fold), made.hand_in("larch", fold)]
    lost = [made.refused("zinnia_01.ipynb", "the file is empty", "zinnia")]
    students = class_report(made.batch(hand_ins, lost)).students
    assert {one.student: one.is_final for one in students}[student] is is_final


def test_a_file_of_nobody_known_makes_no_student(made, twelve):
    lost = made.refused("IMG 3.ipynb", "not JSON, so not a workbook (line 1)")
    report = class_report(made.batch(twelve, [lost]))
    assert "" not in [one.student for one in report.students]


def test_the_order_of_the_hand_ins_changes_no_figure(made, twelve):
    tied = twelve[3:9]  # each misconception twice
    shuffled = random.Random(7).sample(tied, len(tied))
    assert class_report(made.batch(tied)) == class_report(made.batch(shuffled))
    assert class_report(made.batch(tied)) == class_report(made.batch(tied[::-1]))


@pytest.mark.parametrize(("size", "has_figures"), [(1, False), (4, False), (5, True), (12, True)])
def test_there_is_no_figure_for_fewer_than_five(made, twelve, size, has_figures):
    report = class_report(made.batch(twelve[:size]))
    for one in report.exercises:
        assert bool(one.outcomes) == bool(one.points) == has_figures
    assert [(one.students is not None, one.share is not None) for one in report.misconceptions][
        :1
    ] == [(has_figures, has_figures)]


def test_a_misconception_has_no_figure_where_fewer_than_five_tried(made):
    named = made.answer(made.FOLD, Outcome.WRONG, (), "folds-once")
    missing = made.answer(made.FOLD, Outcome.NO_ANSWER)
    hand_ins = [made.hand_in(plant, named if plant < "e" else missing) for plant in PLANTS]
    (one,) = class_report(made.batch(hand_ins)).misconceptions
    assert (one.name, one.tried, one.students, one.share) == ("folds-once", 4, None, None)


@pytest.mark.parametrize(
    ("size", "said"),
    [
        (4, ["No figures where fewer than 5 were marked: 01-frames-and-headers (4)."]),
        (29, ["Where fewer than about 30 were marked, intervals are wide, and a difference "
              "between two exercises may well be chance: 01-frames-and-headers (29)."]),
        (30, []),
    ],
)  # fmt: skip
def test_a_small_class_comes_with_a_warning(made, size, said):
    hand_ins = [
        made.hand_in(f"s{n:02}", made.answer(made.WORD, Outcome.RIGHT)) for n in range(size)
    ]
    assert list(class_report(made.batch(hand_ins)).warnings) == said


def test_a_class_of_which_nothing_could_be_graded_is_reported_too(made):
    report = class_report(made.batch([], [made.refused("a", "the file is empty", "alder")]))
    assert (report.exercises, report.misconceptions, report.warnings) == ((), (), ())
    assert [one.student for one in report.students] == ["alder"]


def test_an_exercise_without_points_has_outcomes_but_no_mean(made):
    free = made.without_points(made.WORD)
    hand_ins = [made.hand_in(plant, made.answer(free, Outcome.RIGHT)) for plant in PLANTS]
    (one,) = class_report(made.batch(hand_ins)).exercises
    assert one.outcomes[0].hand_ins == 12
    assert one.points is None


def test_the_finding_names_the_weakest_exercise_with_its_interval(made, twelve):
    finding = words.finding_of_points(class_report(made.batch(twelve)).exercises)
    assert finding.endswith("24 % (8 to 54 %).".replace(" ", "\xa0"))


def test_a_small_difference_between_exercises_is_said_to_be_chance_perhaps(made):
    """Five of five against four of five."""
    word, wrong = made.answer(made.WORD, Outcome.RIGHT), made.answer(made.FRAGMENT, Outcome.WRONG)
    right = made.answer(made.FRAGMENT, Outcome.RIGHT)
    hand_ins = [made.hand_in(one, word, wrong if one == "dock" else right) for one in PLANTS[:5]]
    finding = words.finding_of_points(class_report(made.batch(hand_ins)).exercises)
    assert finding.startswith("Exercise 1.3 earned the smallest share")
    assert finding.endswith("The difference from 1.1 may be chance.")


@pytest.mark.parametrize(
    ("others", "said"),
    [
        (1, "from e1 may"),
        (2, "from e1 and e2 may"),
        (3, "from e1, e2 and e3 may"),
        (4, "from 4 others may"),
    ],
)
def test_a_finding_names_three_exercises_at_most(made, others, said):
    items = [replace(made.WORD, id=f"e{n}") for n in range(others + 1)]
    answers = [made.answer(item, Outcome.RIGHT) for item in items]
    report = class_report(made.batch([made.hand_in(one, *answers) for one in PLANTS[:5]]))
    assert said in words.finding_of_points(report.exercises)


@pytest.mark.parametrize(
    ("share", "with_whom"),
    [(0.9, "with everybody"), (0.3, "with everybody"), (0.29, "in pairs"), (0.1, "in pairs"),
     (0.05, "with the few"), (0.0, "with the few")],
)  # fmt: skip
def test_the_step_for_class_suits_how_many_share_a_belief(share, with_whom):
    assert words.class_step(Estimate(share, 0, 1)).with_whom == with_whom


def test_without_a_figure_the_words_give_none():
    assert words.class_step(None).with_whom == "with those concerned"
    assert words.finding_of_points([]) == words.NO_FIGURE
