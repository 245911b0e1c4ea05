"""Everything in a live figure is reached and done by keys, and the notebook hears none of them."""

import pytest

from pages.figure_in_lab import FOCUS
from pages.live_figures import LINES

pytestmark = pytest.mark.xdist_group("live figures")
every_figure = pytest.mark.parametrize("standing", LINES, indirect=True)

# Note what gets the focus, beginning with the first thing; return at how many Tab is to stop.
NOTED = """root => {
  const all = root.querySelectorAll('button, input, select, summary, [tabindex="0"]');
  document.activeElement.blur();
  root.walked = [];
  root.addEventListener('focusin', ({target}) => root.walked.push(target));
  all[0].focus();
  const isThere = one => one.checkVisibility({visibilityProperty: true}) && !one.disabled;
  return [...all].filter(isThere).length;
}"""
WALKED = """root => root.walked.map(one => [
  ['.hop-controls', 'svg', '.hop-player', 'details'].findIndex(place => one.closest(place)),
  one.touch?.action ?? one.getAttribute('aria-label') ?? one.textContent])"""
IS_LEFT = "root => !root.contains(document.activeElement)"
# From each part that was reached, each arrow key leads on to others of the same action.
NOT_REACHED_BY_ARROWS = """root => {
  const svg = root.querySelector('svg');
  const reached = new Set(svg.querySelectorAll(':scope > .hop-handle[tabindex="0"]'));
  for (const one of reached) {
    if (one.getAttribute('role') === 'slider') continue;
    for (const key of ['ArrowLeft', 'ArrowRight', 'ArrowUp', 'ArrowDown']) {
      one.focus();
      one.dispatchEvent(new KeyboardEvent('keydown', {key, bubbles: true, cancelable: true}));
      reached.add(document.activeElement);
    }
  }
  return [...svg.querySelectorAll('.hop-handle')].filter(one => !reached.has(one))
    .map(one => one.getAttribute('aria-label'));
}"""
# Letters that cut, paste, insert, turn and delete cells; then keys that choose, run and go on.
LETTERS = ("x", "v", "m", "b", "a", "y", "c", "z", "d", "d", "i", "i", "0", "0")
OTHERS = ("ArrowDown", "ArrowUp", "Shift+Enter", "Shift+ArrowDown", "Delete", "Enter", "Space")
# Such keys as the page hears them, at everything there is; Shift+Enter stands for all that press.
HEARD = f"""(root, [actions, letters]) => {{
  const keys = [
    ...letters.map(key => ({{key, keyCode: key.toUpperCase().charCodeAt()}})),
    {{key: 'ArrowDown', keyCode: 40}}, {{key: 'ArrowUp', keyCode: 38}},
    {{key: 'Delete', keyCode: 46}}, {{key: 'Enter', keyCode: 13, shiftKey: true}},
  ];
  for (const action of actions) for (const key of keys) {{
    if (({FOCUS})(root, action) === null) break;
    document.activeElement.dispatchEvent(
      new KeyboardEvent('keydown', {{...key, bubbles: true, cancelable: true}}));
  }}
}}"""
NOTEBOOK = """() => ({
  cells: [...document.querySelectorAll('.jp-Notebook .jp-Cell')].map(cell =>
    [cell.className.match(/jp-\\w+Cell/)[0], cell.querySelector('.cm-content')?.textContent]),
  chosen: [...document.querySelectorAll('.jp-Notebook .jp-Cell')]
    .map(cell => cell.classList.contains('jp-mod-active')),
  dialogs: document.querySelectorAll('.jp-Dialog').length,
})"""


@every_figure
def test_tab_reaches_everything_from_top_to_bottom_and_leads_out_again(standing):
    stops = standing.root.evaluate(NOTED)
    for _ in range(stops):
        standing.page.keyboard.press("Tab")
    assert standing.root.evaluate(IS_LEFT), "Tab does not lead out, or stops more often"
    walked = standing.root.evaluate(WALKED)
    assert len(walked) == stops, "Tab leaves something out"
    regions = [region for region, _ in walked]
    assert regions == sorted(regions)
    touched = [what for region, what in walked if region == 1]
    assert len(set(touched)) == len(touched), "Tab stops twice at parts with one action"


@every_figure
def test_arrows_reach_every_part_that_can_be_touched(standing):
    assert standing.root.evaluate(NOT_REACHED_BY_ARROWS) == []


@pytest.mark.parametrize("standing", ["header"], indirect=True)
def test_no_key_in_a_figure_reaches_the_notebook(figure):
    """Real keys, in the figure that has every kind of things; how keys are kept is one for all."""
    before = notebook_of(figure)
    for action in one_of_each_kind(figure):
        for key in (*LETTERS, *OTHERS):
            if figure.root.evaluate(FOCUS, action):
                figure.page.keyboard.press(key)
        figure.page.keyboard.press("Escape")  # an open list takes all keys
        figure.answered()
    assert figure.page.evaluate(NOTEBOOK) == before
    assert figure.root.is_visible()


def one_of_each_kind(figure):
    kinds = {}
    for action in figure.actions():
        kind = figure.root.evaluate(FOCUS, action).removeprefix("full ")
        kinds[isinstance(action, int), kind] = action
    assert {kind for is_control, kind in kinds if is_control} == {"button", "select", "text"}
    assert {kind for is_control, kind in kinds if not is_control} == {"button", "slider"}
    return kinds.values()


@every_figure
def test_no_key_at_anything_in_a_figure_reaches_the_notebook(standing):
    before = notebook_of(standing)
    standing.root.evaluate(HEARD, [standing.actions(), LETTERS])
    standing.answered()
    assert standing.page.evaluate(NOTEBOOK) == before


def notebook_of(figure):
    """Return the notebook as it is; who goes into a figure chooses its cell."""
    figure.root.evaluate("root => root.querySelector('button, input, select').focus()")
    return figure.page.evaluate(NOTEBOOK)


@every_figure
def test_what_is_used_keeps_the_focus_in_the_figure(used):
    """Or the next key would go to the notebook."""
    assert [one.action for one in used if one.is_there and not one.keeps_focus] == []


@every_figure
def test_all_that_can_be_touched_answers_to_keys(standing, used):
    """Each part and each control changes something that can be seen, at first or after another."""
    actions = [one.action for one in used[1:]]
    silent = [one.action for one in used[1:] if not one.is_other]
    assert [one for one in silent if not _changes_after_another(standing, one, actions)] == []


def _changes_after_another(figure, action, actions):
    """As a question that another one takes away, a button to start again, a guess once given."""
    figure.run_anew()
    figure.seen_after()
    if figure.seen_after(action).is_other:
        return True
    figure.seen_after(next(other for other in reversed(actions) if other != action))
    return figure.seen_after(action).is_other
