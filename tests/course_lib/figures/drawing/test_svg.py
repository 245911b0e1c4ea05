"""Whatever the words are, a drawing is well-formed, self-contained and says what it shows."""

import xml.etree.ElementTree as ET

from hypothesis import example, given
from hypothesis import strategies as st

from course_lib.figures.drawing.palette import DARK, LIGHT
from course_lib.figures.drawing.svg import (
    Figure,
    Words,
    drawing,
    element,
    hatching,
    label,
    path,
)

SVG = "{http://www.w3.org/2000/svg}"
NASTY = "<script>alert(\"x\")</script> & 'quoted' ]]> \x00\x1b"
ANY_WORDS = st.text(min_size=1)  # all of Unicode but halves of surrogate pairs


def as_xml_reads(words):
    """XML 1.0: forbidden characters cannot be written (2.2); line ends are read as one (2.11)."""
    kept = "".join(one if one in "\t\n\r" or one >= " " else "\ufffd" for one in words)
    kept = kept.replace("\ufffe", "\ufffd").replace("\uffff", "\ufffd")
    return kept.replace("\r\n", "\n").replace("\r", "\n")


@given(ANY_WORDS)
@example(NASTY)
def test_words_come_back_as_they_were(words):
    tree = ET.fromstring(f"<svg>{label(words, 1, 2)}</svg>")
    assert (tree[0].text or "") == as_xml_reads(words)


def test_a_label_without_words_is_none_and_each_letter_may_have_its_place():
    assert label("", [], 2) == ""
    assert label("ab", [1, 2.5], 3, "ink", 11, "end") == (
        '<text x="1 2.5" y="3" class="ink" font-size="11" text-anchor="end">ab</text>'
    )


@given(ANY_WORDS)
def test_any_title_and_description_make_a_well_formed_image(words):
    tree = ET.fromstring(drawing(Words(words, "", words), (10, 20), label(words, 0, 0)).svg)
    assert tree.get("role") == "img"
    assert tree.find(f"{SVG}title") is not None
    assert tree.find(f"{SVG}desc") is not None


def test_markup_in_words_stays_words():
    words = Words(NASTY, "", NASTY)
    tree = ET.fromstring(drawing(words, (10, 20), element("g", label(NASTY, 0, 0))).svg)
    assert [one.tag for one in tree.iter() if "script" in one.tag] == []
    assert tree.find(f"{SVG}title").text.startswith('<script>alert("x")</script> & ')
    assert tree.get("aria-label").startswith('<script>alert("x")</script> & ')


def test_attributes_are_escaped_and_named_as_in_svg():
    assert element("a", b_c='"<', class_="x", left_out=None) == '<a b-c="&quot;&lt;" class="x"/>'


def test_the_picture_is_light_alone_and_dark_in_a_dark_page():
    svg = drawing(Words("t", "", "d"), (1, 1)).svg
    light, _, dark = svg.partition("@media not print")
    assert LIGHT.paper in light
    assert DARK.paper not in light
    assert f'body[data-jp-theme-light="false"] .hop-figure .paper{{fill:{DARK.paper}}}' in dark


def test_nothing_is_referred_to_by_an_id_or_from_outside():
    svg = drawing(Words("t", "", "d"), (1, 1), path("slant", hatching(0, 0, 9, 9))).svg
    for reference in (" id=", "url(", "href", "var(", "@import"):
        assert reference not in svg


def test_hatching_stays_inside_its_box():
    path = hatching(10, 20, 50, 30)
    numbers = [float(part) for part in path.replace("M", " ").replace("L", " ").split()]
    assert all(10 <= x <= 60 for x in numbers[::2])
    assert all(20 <= y <= 50 for y in numbers[1::2])
    assert len(numbers) // 4 == 11  # one line every 7 of the 80 pixels of both sides


def test_a_figure_shows_itself_as_page_picture_and_text():
    figure = Figure("title", "<svg/>", NASTY, "spoken")
    bundle = figure._repr_mimebundle_(include=None, exclude=None)
    assert bundle["image/svg+xml"] == "<svg/>"
    assert bundle["text/plain"] == str(figure) == NASTY
    assert "<svg/>" in bundle["text/html"]
    assert "<script" not in bundle["text/html"]
