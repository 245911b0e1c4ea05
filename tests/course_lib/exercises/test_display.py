"""A panel reads the same as text and as a page, and student text stays text."""

from html.parser import HTMLParser

import pytest

from course_lib.exercises.display import Panel, Row, sign_of
from course_lib.exercises.verdict import Outcome

PANEL = Panel(
    "Exercise 1.1 <b>",
    (("Seen", "<script>alert(1)</script> & more"),),
    parts=(("words", 1, 1), ("refusals", 0, 1)),
    columns=("unit", "title"),
    table=(Row(("01", "<i>x</i>")),),
)


class Tags(HTMLParser):
    def __init__(self):
        super().__init__()
        self.seen = []
        self.words = ""

    def handle_starttag(self, tag, attrs):
        self.seen.append(tag)

    def handle_data(self, data):
        self.words += data + " "


def test_both_forms_say_the_same_words():
    reader = Tags()
    reader.feed(PANEL.html())
    for piece in ("Exercise 1.1 <b>", "<script>alert(1)</script> & more", "✓ words 1/1",
                  "○ refusals 0/1", "<i>x</i>"):  # fmt: skip
        assert piece in PANEL.text()
        assert piece in reader.words.replace("\xa0", " ")
    assert not {"script", "b", "i"} & set(reader.seen)


def test_a_workbook_gets_both_forms():
    assert set(PANEL._repr_mimebundle_()) == {"text/plain", "text/html"}


ALIKE = {  # what has one shape, by its character
    "✓": {Outcome.RIGHT},
    "◐": {Outcome.PARTLY_RIGHT},
    "✗": {Outcome.WRONG, Outcome.BAD_VALUE, Outcome.TWO_RUNS_DIFFER},
    "!": {Outcome.ERROR, Outcome.OUT_OF_TIME, Outcome.DAMAGED},
    "○": {Outcome.NO_ANSWER},
    "?": {Outcome.COULD_NOT_TELL},
}


@pytest.mark.parametrize("outcome", list(Outcome))
def test_each_outcome_has_a_shape_a_sign_and_its_word(outcome):
    panel = Panel(f"Exercise 1.1 · Read · {outcome.value} · 1 of 2 points", (), outcome=outcome)
    sign = sign_of(outcome)
    assert outcome in ALIKE[sign.character]
    assert panel.text().startswith(f"{sign.character} Exercise 1.1 · Read · {outcome.value} · 1")
    page = panel.html()
    assert page.count("<svg") == page.count(f">{sign.character} </span>") == 1
    assert all(f'd="{line}"' in page for _, line in sign.lines)
    assert f'<span class="hop-word hop-{sign.look}">{outcome.value}</span> · 1 of 2' in page


def test_no_two_shapes_are_the_same_without_their_colours():
    signs = {sign_of(outcome) for outcome in Outcome}
    assert {sign.character for sign in signs} == set(ALIKE)
    assert len({sign.lines for sign in signs}) == len(signs)


@pytest.mark.parametrize(
    ("label", "words", "on_the_page"),
    [
        ("Hint 1 of 3", "Try `x < 1` first.", "Try <code>x &lt; 1</code> first."),
        ("Next", "What does `.lower()` do?", "What does <code>.lower()</code> do?"),
        ("Next", "One ` alone", "One ` alone"),
        ("Seen", "f(1) returned '`a`'", "f(1) returned &#x27;`a`&#x27;"),
        ("Note", "f(1) returned '`a`'", "f(1) returned &#x27;`a`&#x27;"),
    ],
)
def test_backticks_are_code_in_our_words_and_as_they_came_in_a_student_s(label, words, on_the_page):
    panel = Panel("Hints", ((label, words),))
    assert f">{on_the_page}</td>" in panel.html()
    assert words in panel.text()


def test_a_row_of_a_table_may_have_a_mark_or_be_a_sum():
    rows = (Row(("01", "2 of 6"), is_sum=True), Row(("1.1", "2 of 2"), outcome=Outcome.RIGHT))
    panel = Panel("Progress", (), columns=("exercise", "points"), table=rows)
    assert [line.split() for line in panel.text().splitlines()[2:]] == [
        ["01", "2", "of", "6"], ["✓", "1.1", "2", "of", "2"],
    ]  # fmt: skip
    assert panel.html().count('<tr class="hop-sum">') == 1
    assert panel.html().count("<svg") == 1
