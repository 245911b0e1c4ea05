"""Changes are said in one place that stays, every control has a name, and axe finds nothing."""

import pytest

from pages.axe import violations
from pages.figure_in_lab import TALL
from pages.live_figures import LINES

pytestmark = pytest.mark.xdist_group("live figures")
every_figure = pytest.mark.parametrize("standing", LINES, indirect=True)

MARK = "root => root.querySelectorAll('[role=status], [role=alert]').forEach(one => one.seen = 1)"
UNMARKED = """root => [...root.querySelectorAll('[role=status], [role=alert], [aria-live]')]
  .filter(one => !one.seen).map(one => one.outerHTML)"""
# In how many frames, one after the other, the picture was another one: results come now and then.
CHANGED = """root => new Promise(end => {
  let before = null, row = 0, longest = 0, frames = 0;
  const look = () => {
    const now = root.querySelector('svg').outerHTML;
    row = now === before ? 0 : row + 1;
    longest = Math.max(longest, row);
    before = now;
    frames++ < 30 ? requestAnimationFrame(look) : end(longest);
  };
  requestAnimationFrame(look);
})"""
MOVING = """root => root.getAnimations({subtree: true}).filter(one => one.playState === 'running')
  .map(one => one.animationName ?? one.transitionProperty)"""


@every_figure
def test_changes_are_said_in_one_place_that_stays(figure):
    assert figure.root.get_by_role("status").count() == 1
    assert figure.root.get_by_role("alert").count() == 1
    figure.root.evaluate(MARK)
    said = {figure.said()}
    for action in figure.actions():
        figure.use(action)
        said.add(figure.said())
    assert len(said) > 1
    assert figure.root.evaluate(UNMARKED) == []


@every_figure
def test_everything_that_can_be_touched_has_a_name_of_its_own(standing):
    names = standing.names()
    assert [one for one in names if not one[1]] == []
    assert len(set(names)) == len(names), sorted({one for one in names if names.count(one) > 1})


@every_figure
def test_who_wants_less_motion_sees_none(figure):
    figure.page.emulate_media(reduced_motion="reduce")
    try:
        for action in figure.actions():
            figure.use(action)
            assert figure.root.evaluate(MOVING) == [], action
            assert figure.root.evaluate(CHANGED) <= 2, action
    finally:
        figure.page.emulate_media(reduced_motion="no-preference")


@every_figure
def test_axe_finds_nothing(standing, theme, axe):
    standing.root.locator("details").evaluate("folded => folded.open = true")
    assert violations(standing, axe) == []


@every_figure
def test_all_words_stand_out_from_what_is_behind_them(standing, theme):
    """Contrast 4.5 to 1 or more (WCAG 2.2, success criterion 1.4.3)."""
    standing.page.set_viewport_size(TALL)
    standing.root.scroll_into_view_if_needed()
    found = standing.contrasts()
    assert len(found) > 5
    assert [one for one in found if one[0] < 4.5] == []
