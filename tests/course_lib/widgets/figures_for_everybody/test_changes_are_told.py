"""Changes are said in one place that stays, every control has a name, and axe finds nothing."""

import pytest

from pages.axe import violations
from pages.live_figures import LINES

pytestmark = pytest.mark.xdist_group("live figures")
every_figure = pytest.mark.parametrize("standing", LINES, indirect=True)
UNFOLD = "document.querySelectorAll('.hop-touch details').forEach(one => { one.open = true; })"


@every_figure
def test_changes_are_said_in_one_place_that_stays(standing, used):
    assert standing.root.get_by_role("status").count() == 1
    assert standing.root.get_by_role("alert").count() == 1
    assert len({one.said for one in used}) > 1
    assert [one.unmarked for one in used if one.unmarked] == []


@every_figure
def test_everything_that_can_be_touched_has_a_name_of_its_own(standing):
    names = standing.names()
    assert [one for one in names if not one[1]] == []
    assert len(set(names)) == len(names), sorted({one for one in names if names.count(one) > 1})


@every_figure
def test_who_wants_less_motion_sees_none(used):
    assert [one.action for one in used if one.moving or one.changed > 2] == []


def test_axe_finds_nothing(workbook, theme, axe):
    """All figures at once: axe looks through the whole page before it looks at any of it."""
    kinds = () if theme == "light" else ("cat.color",)  # the others know no colours
    workbook.page.evaluate(UNFOLD)
    assert violations(workbook.page, ".hop-touch", axe, kinds) == []


@every_figure
def test_all_words_stand_out_from_what_is_behind_them(theme, standing):
    """Contrast 4.5 to 1 or more (WCAG 2.2, success criterion 1.4.3)."""
    found = standing.contrasts()
    assert len(found) > 5
    assert [one for one in found if one[0] < 4.5] == []
