"""Numbers and addresses may be typed as people write them; what is none is refused with a word.

What is typed goes to Python as it stands, so most of this asks Python; a page is asked whether it
does go there as it stands, and what it shows of a refusal.
"""

import pytest

from course_lib.widgets.touch.touch_figure import Written
from pages.figure_in_lab import FOCUS
from pages.live_figures import LINES, make

in_the_page = pytest.mark.xdist_group("live figures")

WRITTEN = [
    ("header", "fragment offset", "0x172", "Fragment offset: 0 → 370"),
    ("header", "total length", "0b1010100", "the checksum agrees"),  # 84, as it was
    ("header", "identification", " 007 ", "the checksum agrees"),
    ("header", "source", "192.0.2.1", "Source: 192.0.2.10 → 192.0.2.1"),
    ("header", "source", "3221225985", "Source: 192.0.2.10 → 192.0.2.1"),
    ("trie", None, "00000101", "Address 00000101"),
    ("trie", None, "0xC9", "Address 11001001"),
    ("trie", None, "0b11", "Address 00000011"),
    ("trie", None, "107", "Address 01101011"),
]
NO_NUMBERS = ("seven", "", "1,5", "0x", "192.0.2", "12 34", "--7")


def fields(figure):
    return [one.action for one in figure.picture.controls if isinstance(one, Written)]


@pytest.mark.parametrize(
    ("name", "field", "text", "said"), WRITTEN,
    ids=[f"{name} {text.strip()}" for name, _, text, _ in WRITTEN],
)  # fmt: skip
def test_what_people_write_is_understood(name, field, text, said):
    figure = make(name)
    if field is not None:
        figure.act("field", field)
    figure.act(*fields(figure), text)
    assert figure.view["problem"] == ""
    assert said in " ".join(figure.picture.words)


@pytest.mark.parametrize("name", LINES)
def test_what_is_no_number_is_refused_with_a_word_and_changes_nothing(name):
    figure = make(name)
    for action in fields(figure):
        before = figure.picture
        for text in NO_NUMBERS:
            figure.act(action, text)
            problem = figure.view["problem"]
            assert problem.startswith("Nothing has changed. "), text
            assert (text or "nothing") in problem
            assert figure.picture.words == before.words
            assert figure.picture.scenes == before.scenes
        figure.act(action, "2.7")
        assert "whole number" not in problem or (
            "2.7 is not a whole number" in figure.view["problem"]
        )


@in_the_page
@pytest.mark.parametrize("standing", ["trie"], indirect=True)
def test_a_page_hands_on_what_is_typed_and_shows_why_it_is_refused(figure):
    kinds = {action: figure.root.evaluate(FOCUS, action) for action in figure.actions()}
    (field,) = [action for action, kind in kinds.items() if kind == "text"]
    for text, said, refusal in [
        (" 0b11 ", "Address 00000011", ""),
        ("12 34", "Address 00000011", "Nothing has changed. 12 34 is not"),
        ("0xC9", "Address 11001001", ""),
    ]:
        figure.root.evaluate(FOCUS, field)
        figure.type(text)
        assert said in figure.said()
        assert figure.refusal().startswith(refusal)
        assert bool(figure.refusal()) == bool(refusal)
