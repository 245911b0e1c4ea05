"""Live figures fit a small laptop, are read on a narrow page, and do not depend on its fonts."""

import pytest

from pages.figure_in_lab import LAPTOP
from pages.live_figures import LINES, scenes_of
from pages.words_in_figures import misplaced

pytestmark = pytest.mark.xdist_group("live figures")
every_figure = pytest.mark.parametrize("standing", LINES, indirect=True)
every_name = pytest.mark.parametrize("name", LINES)

HEIGHT, LEAST_WORDS, ZOOM = 640, 11, 2
NARROW = {"width": 900, "height": 768}
ZOOMED = {name: side // ZOOM for name, side in LAPTOP.items()}  # as a browser does it
# Faces as wide as can be expected, and others: the names are those that figures ask for.
FACES = {
    "DejaVu Sans": ("DejaVu Sans", "DejaVu Sans Mono", 100),
    "DejaVu Serif": ("DejaVu Serif", "DejaVu Sans Mono", 100),
    "a narrow face": ("DejaVu Sans", "DejaVu Sans Mono", 85),
}
# The size of each piece of words as it is painted, in pixels of the page.
WORDS = """root => {
  const walk = document.createTreeWalker(root, NodeFilter.SHOW_TEXT), found = [];
  for (let node; node = walk.nextNode();) {
    const one = node.parentElement;
    if (!node.data.trim() || !one.checkVisibility({checkVisibilityCSS: true})) continue;
    if (['title', 'desc', 'style'].includes(one.localName)) continue;
    if (one.classList.contains('hop-flip')) continue;  // on its way, while a figure plays
    const scale = one.ownerSVGElement ? one.getScreenCTM().d : 1;
    found.push([parseFloat(getComputedStyle(one).fontSize) * scale, node.data.trim()]);
  }
  return found;
}"""
WIDER = "root => root.scrollWidth - root.clientWidth"
ROWS = """root => new Set([...root.querySelector('.hop-controls').children]
  .map(one => Math.round((one.offsetTop + one.offsetHeight / 2) / 10))).size"""


@every_figure
def test_all_of_it_fits_a_laptop(figure):
    box = figure.root.bounding_box()
    assert box["height"] <= HEIGHT
    controls = figure.root.locator(".hop-controls > *")
    assert controls.count() <= 4
    assert figure.root.evaluate(ROWS) == 1
    assert figure.root.evaluate(WIDER) <= 0


@every_figure
def test_it_still_fits_after_everything_in_it_was_used(used):
    assert {one.action: one.height for one in used if one.height > HEIGHT} == {}


@pytest.mark.parametrize("size", [LAPTOP, NARROW, ZOOMED], ids=["laptop", "narrow", "zoomed"])
@every_figure
def test_the_smallest_words_can_be_read(standing, size):
    standing.page.set_viewport_size(size)
    standing.answered()
    found = standing.root.evaluate(WORDS)
    assert len(found) > 5
    assert [one for one in found if one[0] < LEAST_WORDS - 0.01] == []
    assert standing.root.evaluate(WIDER) <= 0  # a wide picture is scrolled, and nothing else


@pytest.mark.parametrize("faces", FACES)
@every_name
def test_words_stay_in_the_picture_and_apart_in_any_face(browser, name, faces):
    drawings = [scene.figure().svg for scene in scenes_of(name)[::4]]
    page = browser.new_page(viewport={"width": 1600, "height": 900})
    found = misplaced(page, drawings, *FACES[faces])
    page.close()
    assert found == []


@every_name
def test_its_pictures_leave_room_for_controls_and_words(name):
    tallest = max(scenes_of(name), key=lambda scene: scene.size[1])
    assert tallest.size[1] <= HEIGHT - 110, tallest.words.title
