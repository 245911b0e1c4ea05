"""Numbers and addresses may be typed as people write them; what is none is refused with a word."""

import pytest
from playwright.sync_api import expect

from pages.figure_in_lab import FOCUS
from pages.live_figures import LINES

pytestmark = pytest.mark.xdist_group("live figures")
every_figure = pytest.mark.parametrize("standing", LINES, indirect=True)

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
VALUE = "root => [...root.querySelectorAll('.hop-controls input')].map(one => one.value)"


@pytest.mark.parametrize(
    ("standing", "field", "text", "said"), WRITTEN, indirect=["standing"],
    ids=[f"{name} {text.strip()}" for name, _, text, _ in WRITTEN],
)  # fmt: skip
def test_what_people_write_is_understood(figure, field, text, said):
    if field is not None:
        figure.root.get_by_label("Field", exact=True).select_option(label=field)
        figure.answered()
    figure.root.get_by_role("textbox").focus()
    figure.type(text)
    assert figure.refusal() == ""
    expect(figure.root.get_by_role("status")).to_contain_text(said)


@every_figure
def test_what_is_no_number_is_refused_with_a_word_and_changes_nothing(standing):
    for action in standing.actions():
        if standing.root.evaluate(FOCUS, action) != "text":
            continue
        before = standing.said()
        for text in NO_NUMBERS:
            standing.type(text)
            assert standing.refusal().startswith("Nothing has changed. "), text
            assert (text or "nothing") in standing.refusal()
            assert standing.said() == before
        whole = "whole number" in standing.refusal()
        standing.type("2.7")
        assert not whole or "2.7 is not a whole number" in standing.refusal()
