"""The pictures of live figures have room on a page, in whatever face their words are painted."""

import pytest

from pages.live_figures import LINES, scenes_of
from pages.words_in_figures import misplaced

pytestmark = pytest.mark.xdist_group("scenes of live figures")  # which keeps them at hand
every_name = pytest.mark.parametrize("name", LINES)

HEIGHT = 640 - 110  # controls and words need room, too
# Faces as wide as can be expected, and others: the names are those that figures ask for.
FACES = {
    "DejaVu Sans": ("DejaVu Sans", "DejaVu Sans Mono", 100),
    "DejaVu Serif": ("DejaVu Serif", "DejaVu Sans Mono", 100),
    "a narrow face": ("DejaVu Sans", "DejaVu Sans Mono", 85),
}


@pytest.fixture(scope="module")
def page(browser):
    page = browser.new_page(viewport={"width": 1600, "height": 900})
    yield page
    page.close()


@every_name
def test_words_stay_in_the_picture_and_apart_in_any_face(page, name):
    drawings = [scene.figure().svg for scene in scenes_of(name)[::4]]
    found = {face: misplaced(page, drawings, *how) for face, how in FACES.items()}
    assert {face: wrong for face, wrong in found.items() if wrong} == {}


@every_name
def test_its_pictures_leave_room_for_controls_and_words(name):
    tallest = max(scenes_of(name), key=lambda scene: scene.size[1])
    assert tallest.size[1] <= HEIGHT, tallest.words.title
