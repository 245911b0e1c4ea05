"""Plots by matplotlib show themselves as our drawings do: with words, on light and dark pages."""

import re

import pytest
from matplotlib.figure import Figure

from course_lib.figures.drawing.palette import DARK, LIGHT
from course_lib.figures.drawing.plots import LOOKS, THEORY, describe, new_plots, shown
from course_lib.figures.drawing.svg import Words
from pages.drawn_shapes import shapes, tree_of, words

WORDS = Words("Two <points>", "x 1\ny 2", "Point & point.")


@pytest.fixture
def plots():
    made = new_plots((400, 300), (50, 40, 300, 100), (50, 180, 300, 60))
    for look in LOOKS:
        made[0].plot([1, 2], [3, 4], **look)
    made[1].plot([1, 2], [2, 1], **THEORY)
    describe(made[0], WORDS)
    return made


def test_axes_lie_where_their_boxes_say(plots):
    boxes = [ax.bbox.bounds for ax in plots]
    assert boxes == [pytest.approx((50, 160, 300, 100)), pytest.approx((50, 60, 300, 60))]


def test_a_plot_shows_the_whole_picture_with_its_words(plots):
    figure = shown(plots)
    assert (figure.title, figure.text, figure.alternative_text) == WORDS
    assert shown(plots[1]) == figure
    tree = tree_of(figure)
    assert tree.get("aria-label") == "Two <points>. Point & point."
    assert tree.get("viewBox") == "0 0 400 300"
    for one in (plots, *plots):
        bundle = one._repr_mimebundle_(include=None, exclude=None)
        assert bundle["text/plain"] == WORDS.text
        assert bundle["image/svg+xml"] == figure.svg


def test_words_are_text_and_no_outlines_of_letters(plots):
    plots[0].set_xlabel("time (s)")
    assert "time (s)" in words(shown(plots))


def test_what_a_user_adds_is_in_the_picture(plots):
    before = shown(plots).svg
    plots[0].axhline(3.5, color="#123456")
    assert "#123456" in shown(plots).svg
    assert shown(plots).svg != before


def test_plots_without_words_are_refused():
    with pytest.raises(ValueError, match="no words yet"):
        shown(Figure().subplots())


def test_the_same_plot_is_the_same_markup_and_another_has_other_ids(plots):
    one = shown(plots).svg
    assert one == shown(plots).svg
    describe(plots[0], WORDS._replace(alternative_text="Another."))
    kinds = [set(re.findall(r"url\(#(\w+)\)", svg)) for svg in (one, shown(plots).svg)]
    assert all(kinds)
    assert kinds[0].isdisjoint(kinds[1])


def test_its_style_sheet_touches_nothing_else_on_the_page(plots):
    """Matplotlib would write `*{stroke-linejoin: ...}`."""
    sheets = " ".join(one.text for one in shapes(shown(plots), "style"))
    selectors = re.findall(r"([^{}]+){[^{}]*}", sheets)
    assert selectors
    assert all(re.search(r"\.hop-(figure|picture)", one) for one in selectors)


@pytest.mark.parametrize(("is_light", "theme"), [("true", LIGHT), ("false", DARK)])
def test_lines_and_marks_follow_the_theme(browser, plots, is_light, theme):
    page = browser.new_page()
    page.set_content(f'<body data-jp-theme-light="{is_light}">{shown(plots).svg}</body>')
    strokes = page.evaluate(
        "() => [...document.querySelectorAll('[style*=stroke]')]"
        ".map(one => getComputedStyle(one).stroke)"
    )
    page.close()
    for colour in (theme.calm, theme.alert, theme.ink, theme.line):
        channels = [int(colour[at : at + 2], 16) for at in (1, 3, 5)]
        assert f"rgb({channels[0]}, {channels[1]}, {channels[2]})" in strokes
    other = DARK if theme is LIGHT else LIGHT
    channels = [int(other.calm[at : at + 2], 16) for at in (1, 3, 5)]
    assert f"rgb({channels[0]}, {channels[1]}, {channels[2]})" not in strokes
