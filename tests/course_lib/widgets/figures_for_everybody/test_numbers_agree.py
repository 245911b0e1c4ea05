"""The picture, its text and what is read out tell the same numbers, whatever was touched."""

import functools
import re
from collections import Counter

import pytest

from course_lib import widgets
from course_lib.prefixes.text import parse_address
from pages.drawn_shapes import SVG, shapes, tree_of
from pages.live_figures import LINES, scenes_of

pytestmark = pytest.mark.xdist_group("scenes of live figures")  # which keeps them at hand
every_name = pytest.mark.parametrize("name", LINES)
NUMBER = re.compile(r"(?<![\w.])(?:0x[0-9a-f]+|\d+(?:\.\d+){3}|\d+(?:\.\d+)?)(?!\w)")
GROUPS = re.compile(r"(?<=\d)[,\u202f](?=\d{3})")  # 1,042 is one number
# The other figures have more in their text than there is room for in a picture.
WHOLLY_DRAWN = ("header", "trie")


def numbers(text):
    """Return the values of all numbers in a text: 0x2f is 47, and 192.0.2.1 is an address."""
    return {_value(one) for one in NUMBER.findall(GROUPS.sub("", text.lower()))}


def _value(text):
    if text.count(".") == 3:
        return float(parse_address(text))
    return float(int(text, 16) if text.startswith("0x") else text)


def drawn(scene):
    """Return all words of the picture but rulers, which have a place for each letter."""
    texts = shapes(scene.figure(), "text")
    return " \n".join(one.text for one in texts if " " not in one.get("x", ""))


def pointed_at(scene):
    """Return what is said of parts that are pointed at, or have the focus."""
    tips = [one.text or "" for one in tree_of(scene.figure()).iter(f"{SVG}title")]
    return " \n".join(
        [*tips, *(f"{one.name} {getattr(one, 'words', '')}" for one in scene.touches)]
    )


def counted(scene):
    """Return how many parts of each kind there are, and how many are switched on, as words."""
    kinds = Counter(part.key.split()[0] for part in scene.parts)
    kinds.update(one.action for one in scene.touches if getattr(one, "is_on", False))
    return " ".join(map(str, kinds.values()))


@functools.cache
def told_by(text, scene):
    """Return the numbers in one text of a scene; each of them is asked for by two tests."""
    return numbers(text(scene))


def missing(name, inside, *around):
    """Return the first few scenes with numbers that nothing else tells, nor rounds to them."""
    found = {}
    for scene in scenes_of(name):
        told = set().union(*(told_by(text, scene) for text in around))
        lost = told_by(inside, scene) - told
        if lost and (lost := lost - {round(one, places) for one in told for places in (0, 1, 2)}):
            found.setdefault(scene.words.title, sorted(lost))
    return dict(list(found.items())[:3])


def text(scene):
    return scene.words.text


def read_out(scene):
    return scene.words.alternative_text


SAME = {
    "explore_recorded"
}  # is the figure of explore_journey, with journeys written down elsewhere


def test_every_live_figure_is_among_these():
    assert {line.partition("(")[0] for line in LINES.values()} == set(widgets.__all__) - SAME


@every_name
def test_every_number_that_is_read_out_can_be_seen(name):
    assert missing(name, read_out, drawn, pointed_at, text, counted) == {}


@every_name
def test_every_number_of_the_picture_is_in_its_text(name):
    """Or in the name of a part that can be touched, which is read out as well."""
    assert missing(name, drawn, text, read_out, pointed_at) == {}


@pytest.mark.parametrize("name", WHOLLY_DRAWN)
def test_every_number_of_the_text_is_in_the_picture(name):
    assert missing(name, text, drawn, pointed_at, counted) == {}
