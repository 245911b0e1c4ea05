"""Live figures fit a small laptop, and are read on a narrow page."""

import pytest

from pages.figure_in_lab import LAPTOP
from pages.live_figures import LINES

pytestmark = pytest.mark.xdist_group("live figures")
every_figure = pytest.mark.parametrize("standing", LINES, indirect=True)

HEIGHT, LEAST_WORDS, ZOOM = 640, 11, 2
NARROW = {"width": 900, "height": 768}
ZOOMED = {name: side // ZOOM for name, side in LAPTOP.items()}  # as a browser does it
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
SIZES = {"laptop": LAPTOP, "narrow": NARROW, "zoomed": ZOOMED}


@every_figure
def test_all_of_it_fits_a_laptop(used):
    at_first = used[0]
    assert at_first.height <= HEIGHT
    assert at_first.controls <= 4
    assert at_first.rows == 1
    assert at_first.wider <= 0


@every_figure
def test_it_still_fits_after_everything_in_it_was_used(used):
    assert {one.action: one.height for one in used if one.height > HEIGHT} == {}


@pytest.fixture(scope="module", params=SIZES)
def size(workbook, request):
    """Show the page in one size, then another; tests of one size run one after the other."""
    workbook.page.set_viewport_size(SIZES[request.param])
    yield
    workbook.page.set_viewport_size(LAPTOP)


@every_figure
def test_the_smallest_words_can_be_read(size, standing):
    found = standing.root.evaluate(WORDS)
    assert len(found) > 5
    assert [one for one in found if one[0] < LEAST_WORDS - 0.01] == []
    assert standing.root.evaluate(WIDER) <= 0  # a wide picture is scrolled, and nothing else
