"""The first sentence of the report: what it says, and that the tables say the same."""

import random
import re

import pytest

from course_lib.exercises.registry import all_exercises
from course_lib.exercises.verdict import Outcome
from instructor.reporting.class_report import class_report
from instructor.reporting.headline import headline
from instructor.reporting.report_pages import report_page
from instructor.reporting.shared_ideas import ideas

pytestmark = pytest.mark.usefixtures("own_wording")
ITEMS = ("WORD", "FRAGMENT", "FOLD")


def sentence(report):
    return headline(report, ideas(report)).sentence.replace("\xa0", " ")


def drawn_class(made, seed, size=12):
    """Draw a class: some right, some with a belief, some without an answer, some undecided."""
    rng = random.Random(seed)
    choices = {
        "WORD": [("low-octet-first", ())],
        "FRAGMENT": [("offset-in-octets", (1, 0)), ("flags-in-low-bits", ())],
        "FOLD": [("folds-once", (1, 0))],
    }
    hand_ins = []
    for number in range(size):
        for name in ITEMS:
            item, draw = getattr(made, name), rng.random()
            belief, earned = rng.choice(choices[name])
            outcome = Outcome.PARTLY_RIGHT if earned else Outcome.WRONG
            if draw < 0.5:
                answer = made.answer(item, Outcome.RIGHT)
            elif draw < 0.8:
                answer = made.answer(item, outcome, earned, belief)
            else:
                answer = made.answer(
                    item, Outcome.NO_ANSWER if draw < 0.9 else Outcome.COULD_NOT_TELL
                )
            hand_ins.append(made.hand_in(f"s{number:02}", answer))
    return made.batch(hand_ins)


def test_the_sentence_gives_the_verdict(made):
    offset = made.answer(made.FRAGMENT, Outcome.PARTLY_RIGHT, (1, 0), "offset-in-octets")
    right = made.answer(made.WORD, Outcome.RIGHT)
    one = made.answer(made.FOLD, Outcome.PARTLY_RIGHT, (1, 0))
    hand_ins = [made.hand_in(f"s{n}", *answers) for n in range(6) for answers in ([right, offset],)]
    hand_ins += [made.hand_in(f"s{n}", one) for n in range(6)]
    assert sentence(class_report(made.batch(hand_ins))) == (
        "Of the points that machines give, this class has 57 %; weakest are 1.3 (33 %) and "
        "2.1 (50 %); take up first: the offset field already counts octets (6 of the 6 who tried)."
    )


@pytest.mark.parametrize(
    ("outcome", "size", "said"),
    [
        (Outcome.RIGHT, 6, "Of the points that machines give, this class has 100 %."),
        (Outcome.ERROR, 6, "Of the points that machines give, this class has 0 %; weakest is 1.1 "
                           "(0 %)."),
        (Outcome.RIGHT, 4, "No figure: fewer than 5 answers."),
        (Outcome.COULD_NOT_TELL, 6, "No figure: fewer than 5 answers."),
    ],
    ids=["all right", "one exercise, no belief", "a small class", "nothing decided"],
)  # fmt: skip
def test_what_there_is_nothing_to_say_about_is_left_out(made, outcome, size, said):
    hand_ins = [made.hand_in(f"s{n}", made.answer(made.WORD, outcome)) for n in range(size)]
    assert sentence(class_report(made.batch(hand_ins))) == said


def cells(page, name):
    """Return the text of all elements of a kind."""
    found = re.findall(rf"<{name}\b[^>]*>(.*?)</{name}>", page, re.DOTALL)
    return [" ".join(re.sub(r"<[^>]+>", " ", one).split()) for one in found]


@pytest.mark.parametrize("seed", range(6))
def test_every_number_of_the_sentence_stands_in_the_tables(made, seed):
    report = class_report(drawn_class(made, seed))
    said = sentence(report)
    page = report_page(report, 0).replace("\xa0", " ").replace("&nbsp;", " ")
    share, *weakest = re.findall(r"(\d+) %", said)
    names = re.findall(r"\d\.\d(?= \()", said)
    who, tried = re.search(r"\((\d+) of the (\d+) who tried\)", said).groups()
    feet, rows, extents = cells(page, "tfoot"), cells(page, "tr"), cells(page, "p")
    assert len(feet) == 2
    assert all(foot.endswith(f"{share} %") for foot in feet)
    for name, figure in zip(names, weakest, strict=True):
        assert any(re.match(rf"{name} .* {figure} % \(", row) for row in rows)
    assert any(one.startswith(f"{who} of the {tried} who tried: ") for one in extents)
    # The grid begins with the same exercises.
    heads = [one for one in cells(page, "th") if re.fullmatch(r"\d\.\d", one)]
    assert heads[: len(names)] == names


@pytest.mark.parametrize("seed", range(6))
def test_the_share_is_that_of_all_decided_points(made, seed):
    result = drawn_class(made, seed)
    decided = [
        (answer.verdict.points, answer.verdict.exercise.points)
        for one in result.marked for answer in one.answers if not answer.needs_person
    ]  # fmt: skip
    share = sum(points for points, _ in decided) / sum(of for _, of in decided)
    assert class_report(result).share == pytest.approx(share)
    assert f"has {100 * share:.0f} %" in sentence(class_report(result))


def test_ids_of_real_exercises_can_be_found_in_a_sentence():
    """The tests above look for ids of this form."""
    assert all(re.fullmatch(r"\d+\.\d", one.id) for one in all_exercises())
