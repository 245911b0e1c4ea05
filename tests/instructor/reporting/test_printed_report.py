"""The report on paper: nothing cut off, and of five units no more than four sheets of A4."""

import random
import re

import pytest

from course_lib.exercises import registry
from course_lib.exercises.feedback import table
from course_lib.exercises.verdict import Outcome
from instructor.reporting.report_pages import Beside, write_report
from instructor.reporting.since_last_run import Moved, SinceLastRun
from instructor.reporting.still_unclear import Unclear

SHEETS = 4
UNITS = tuple(dict.fromkeys(one.unit for one in registry.all_exercises()))
CLASS = 30
PAGE = re.compile(rb"/Type\s*/Page[^s]")
SOURCE = (
    "def f(data, offset):\n    return data[offset] * 256 + data[offset + {number}] // {number}\n"
)


def exercises_of(units):
    return [one for one in registry.all_exercises() if one.unit in UNITS[:units]]


def drawn_class(made, exercises, seed):
    """Draw a class over some units; the first beliefs are shared by many."""
    rng = random.Random(seed)
    hand_ins = []
    for number in range(CLASS):
        for unit in dict.fromkeys(one.unit for one in exercises):
            answers = [answer(made, rng, one) for one in exercises if one.unit == unit]
            hand_ins.append(made.hand_in(f"student-{number:02}", *answers))
    lost = made.refused("IMG 3.ipynb", "the file is empty", "student-31")
    return made.batch(hand_ins, [lost])


def answer(made, rng, exercise):
    """Draw one answer: half are right, as in a class that finds it hard."""
    if rng.random() < 0.5:
        return made.answer(exercise, Outcome.RIGHT)
    names = list(table()["exercise"][exercise.id]["misconceptions"])
    (name,) = rng.choices(names, [1 / (place + 1) for place in range(len(names))])
    outcome = rng.choice([Outcome.WRONG, Outcome.PARTLY_RIGHT])
    earned = [exercise.aspects[0].points if outcome is Outcome.PARTLY_RIGHT else 0.0]
    earned += [0.0] * (len(exercise.aspects) - 1)
    source = SOURCE.format(number=rng.randrange(1, 9))
    return made.answer(exercise, outcome, earned, name, source=source)


def beside(exercises):
    """Say much in all that stands beside the verdicts."""
    units = dict.fromkeys(one.unit for one in exercises)
    text = "Why one length counts words and the other one octets, and how I would know which"
    voices = [Unclear(unit, f"{text} {n}", ("a", "b", "c")) for unit in units for n in range(9)]
    moved = tuple(Moved(one.id, (("rose", 2), ("fell", 1))) for one in exercises)
    since = SinceLastRun(False, 0.5, tuple((unit, 3) for unit in units), moved, (("corrected", 9),))
    return Beside((), tuple(voices), since)


@pytest.fixture
def report(made, tmp_path, request):
    units, seed = request.param
    exercises = exercises_of(units)
    drawn = drawn_class(made, exercises, seed)
    return write_report(tmp_path / "report", drawn, beside(exercises))


@pytest.mark.parametrize("report", [(5, 1), (5, 2)], indirect=True)
def test_the_report_of_five_units_takes_four_sheets_at_most(report, browser):
    view = browser.new_page()
    view.goto(report.as_uri())
    sheets = len(PAGE.findall(view.pdf(format="A4")))
    view.close()
    assert 1 < sheets <= SHEETS


@pytest.mark.parametrize("report", [(5, 1), (len(UNITS), 1)], indirect=True)
def test_nothing_on_paper_reaches_over_the_edge(report, browser):
    """A4 less both margins is 182 mm wide: 688 CSS pixels."""
    view = browser.new_page(viewport={"width": 688, "height": 1000})
    view.emulate_media(media="print")
    view.goto(report.as_uri())
    assert view.evaluate("document.documentElement.scrollWidth") <= 688
    view.close()


@pytest.mark.parametrize("report", [(5, 1)], indirect=True)
def test_words_on_a_screen_are_large_enough(report, browser):
    """No word is smaller than 11 CSS pixels, at the width of a laptop."""
    view = browser.new_page(viewport={"width": 1366, "height": 768})
    view.goto(report.as_uri())
    smallest = view.evaluate(
        "Math.min(...[...document.querySelectorAll('body *')]"
        ".filter(one => [...one.childNodes].some(n => n.nodeType === 3 && n.data.trim()))"
        ".map(one => parseFloat(getComputedStyle(one).fontSize)))"
    )
    view.close()
    assert smallest >= 11
