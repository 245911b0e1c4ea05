"""The colours can be read, and told apart by people who see fewer of them."""

import itertools

import numpy as np
import pytest

from course_lib.figures.drawing.palette import DARK, LIGHT
from pages.page_reader import contrast

THEMES = pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
READABLE, VISIBLE = 4.5, 3.0  # WCAG 2.2, success criteria 1.4.3 and 1.4.11
APART = 20.0  # CIE 1976 colour difference; a tenth of it is just noticeable. Common practice,
# no published source, for marks that need not touch.

# G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A physiologically-based model for simulation
# of color vision deficiency", IEEE TVCG 15 (2009), full severity; they act on linear RGB.
VISIONS = {
    "all three kinds of cones": np.eye(3),
    "protanopia": np.array(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    "deuteranopia": np.array(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
    "tritanopia": np.array(
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ]
    ),
}
# IEC 61966-2-1 (sRGB): linear RGB to XYZ under daylight D65, and its white.
TO_XYZ = np.array(
    [
        [0.4124564, 0.3575761, 0.1804375],
        [0.2126729, 0.7151522, 0.0721750],
        [0.0193339, 0.1191920, 0.9503041],
    ]
)
WHITE = TO_XYZ @ np.ones(3)


def linear(colour):
    channels = np.array([int(colour[place : place + 2], 16) for place in (1, 3, 5)]) / 255
    return np.where(channels <= 0.04045, channels / 12.92, ((channels + 0.055) / 1.055) ** 2.4)


def lightness_and_hue(rgb):
    """CIE 1976 L*a*b*, in which distances are what an eye notices."""
    ratio = TO_XYZ @ np.clip(rgb, 0, 1) / WHITE
    bent = np.where(ratio > 216 / 24389, np.cbrt(ratio), ratio * 841 / 108 + 4 / 29)
    return np.array([116 * bent[1] - 16, 500 * (bent[0] - bent[1]), 200 * (bent[1] - bent[2])])


def difference(one, other, vision):
    seen = [lightness_and_hue(VISIONS[vision] @ linear(colour)) for colour in (one, other)]
    return float(np.linalg.norm(seen[0] - seen[1]))


@THEMES
def test_words_can_be_read_on_paper_and_in_boxes(theme):
    for ground in (theme.paper, theme.tint):
        assert contrast(theme.ink, ground) >= READABLE
        assert contrast(theme.quiet, ground) >= READABLE


@THEMES
def test_paper_coloured_words_can_be_read_on_filled_marks(theme):
    assert contrast(theme.paper, theme.alert) >= READABLE
    assert contrast(theme.paper, theme.calm) >= READABLE
    assert contrast(theme.paper, theme.guess) >= READABLE


@THEMES
@pytest.mark.parametrize("mark", ["line", "calm", "alert", "guess"])
def test_outlines_and_bars_stand_out_from_the_page(theme, mark):
    assert contrast(getattr(theme, mark), theme.paper) >= VISIBLE
    assert contrast(getattr(theme, mark), theme.tint) >= VISIBLE


@THEMES
@pytest.mark.parametrize("vision", VISIONS)
def test_marks_stay_apart_for_everybody(theme, vision):
    marks = (theme.ink, theme.line, theme.calm, theme.alert, theme.guess)
    for one, other in itertools.combinations(marks, 2):
        assert difference(one, other, vision) >= APART, (one, other)


@pytest.mark.parametrize("vision", VISIONS)
def test_simulated_eyes_see_greys_as_they_are(vision):
    assert VISIONS[vision].sum(axis=1) == pytest.approx(np.ones(3), abs=2e-6)


def test_the_simulation_can_tell_that_a_bad_pair_is_bad():
    """A red and a green of one lightness are far apart for most people, and not for all."""
    red, green = "#c62828", "#5a7a00"
    assert difference(red, green, "all three kinds of cones") > 60
    assert difference(red, green, "deuteranopia") < APART


def test_hues_are_of_the_published_set():
    """Okabe and Ito, "Color Universal Design", 2008, in hexadecimal; from memory."""
    published = {"#e69f00", "#56b4e9", "#009e73", "#f0e442", "#0072b2", "#d55e00", "#cc79a7"}
    assert {LIGHT.calm, DARK.calm, DARK.alert} <= published
