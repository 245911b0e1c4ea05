"""Estimated widths are enough for the widest face a page may choose, and lines keep to them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.figures.drawing.letters import width_of, wrapped
from course_lib.figures.drawing.svg import Words, drawing, label

WORDS = [
    "the packet leaves the fast path at receive: read an address resolution packet",
    "Unchanged here: to Plover depth 0, sent 130",
    "time to live 64 → 63; header checksum",
    "Ethernet header put in front, for 02:00:5e:00:53:01",
    "raised ZeroDivisionError: by zero",
    "WWW MMM QQQ OOO",
    "0123456789 ABCDEF abcdef",
    "from 203.0.113.10 to 198.51.100.7",
]


@pytest.mark.parametrize("look", ["ink", "ink strong", "quiet mono"])
@pytest.mark.parametrize("words", WORDS)
def test_words_take_no_more_room_than_estimated(page, words, look):
    """In the face of this machine; where that is DejaVu Sans, it is the widest."""
    told = Words("t", "", "d")
    page.set_content(drawing(told, (900, 40), label(words, 0, 20, look, 16)).svg)
    real = page.evaluate("() => document.querySelector('text').getComputedTextLength()")
    assert 0 < real <= width_of(words, 16, look) + 1


@given(st.text(), st.sampled_from(["ink", "ink strong", "ink mono"]))
def test_lines_find_room_and_lose_no_letter(words, look):
    lines = wrapped(words, 90, 12, look)
    assert all(width_of(line, 12, look) <= 90 for line in lines)
    assert "".join(lines).replace(" ", "") == words.replace(" ", "")


def test_only_what_is_too_wide_is_squeezed():
    assert "textLength" not in label("at", 0, 0, room=40)
    assert 'textLength="40"' in label("acknowledgement", 0, 0, room=40)
