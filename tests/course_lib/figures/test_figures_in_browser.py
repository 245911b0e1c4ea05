"""In a real browser no words of a figure leave their place or cover each other."""

import pytest

from course_lib.figures.checksum.damage_record import DamageRecord
from course_lib.figures.checksum.errors_diagram import ErrorState, error_scenes
from course_lib.figures.drawing.palette import DARK, LIGHT
from course_lib.figures.headers.header_diagram import header_diagram
from course_lib.headers.error_injection import KINDS
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.layouts import LAYOUTS
from pages.words_in_figures import SIZE, boxes, covered

HEADER = IPv4Header(0, 84, 7, 2, 0, 64, 1, 0, 0xC000020A, 0xC6336407).with_checksum().build()
SWAPPED = HEADER[:12] + HEADER[16:] + HEADER[12:16]
BLANK = tuple(DamageRecord.empty(HEADER, kind) for kind in KINDS)
GUESSES = dict(zip(KINDS, (0.0, 2.1e-4, 0.03, 0.61, 1.0), strict=True))


def errors(after, count, guesses, step=-1):
    """Return the figure of damage, with so many headers damaged in each way."""
    records = [one.after(count, begins=True) if count else one for one in BLANK]
    state = ErrorState(HEADER, after, tuple(records), 1_000, 3, "tray 0", guesses)
    return error_scenes(state)[step].figure()


FIGURES = {
    **{layout.name: header_diagram(b"\xff" * 60, layout.name) for layout in LAYOUTS},
    **{
        f"{layout.name}, all changed": header_diagram(
            bytes(layout.octets), layout.name, changed_bits=range(layout.octets * 8)
        )
        for layout in LAYOUTS
    },
    "cut short": header_diagram(HEADER[:13]),
    "nothing there": header_diagram(b""),
    "many problems": header_diagram(b"\x6f\x00" + HEADER[2:]),
    "errors, nothing yet": errors(HEADER, 0, {}),
    "errors, swapped words": errors(SWAPPED, 1, GUESSES),
    "errors, all bits": errors(bytes(one ^ 0xFF for one in HEADER), 100_000, GUESSES),
    "errors, a step": errors(SWAPPED, 100_000, {}, step=4),
}


@pytest.mark.parametrize("name", FIGURES)
def test_words_stay_in_the_picture_and_in_their_boxes(page, name):
    found = boxes(page, FIGURES[name])
    width, height = page.evaluate(SIZE)
    frames = {id(one): one["inside"] or (0, width) for one in found}
    assert found
    assert [one["words"] for one in found if one["y"] < 0 or one["bottom"] > height] == []
    assert [one["words"] for one in found if one["x"] < frames[id(one)][0]] == []
    assert [one["words"] for one in found if one["right"] > frames[id(one)][1]] == []


@pytest.mark.parametrize("name", FIGURES)
def test_no_words_cover_others(page, name):
    found = boxes(page, FIGURES[name])
    assert covered(found) == []


@pytest.mark.parametrize(
    ("light", "media", "theme"),
    [("true", "screen", LIGHT), ("false", "screen", DARK), ("false", "print", LIGHT)],
)
def test_the_picture_follows_the_theme_and_paper_is_light(page, light, media, theme):
    page.emulate_media(media=media)
    page.set_content(f'<body data-jp-theme-light="{light}">{header_diagram(HEADER).svg}</body>')
    fill = page.evaluate("() => getComputedStyle(document.querySelector('.paper')).fill")
    page.emulate_media(media="screen")
    channels = [int(theme.paper[at : at + 2], 16) for at in (1, 3, 5)]
    assert fill == f"rgb({channels[0]}, {channels[1]}, {channels[2]})"


def test_a_screen_reader_is_given_title_and_description(page):
    figure = header_diagram(HEADER)
    page.set_content(figure.svg)
    assert page.get_by_role("img", name=f"{figure.title}. {figure.alternative_text}").count() == 1


def test_a_page_shows_the_picture_and_without_it_the_text(page):
    """As Jupyter does with a notebook that it does not trust: it keeps words, and no drawing."""
    figure = header_diagram(HEADER)
    page.set_content(figure.html())
    assert page.locator("svg").is_visible()
    assert page.locator("pre:visible").count() == 0
    page.set_content(figure.html().replace(figure.svg, "a heap of words"))
    assert page.locator("pre:visible").all_inner_texts() == [figure.text]
    assert page.get_by_text("a heap of words").is_hidden()
