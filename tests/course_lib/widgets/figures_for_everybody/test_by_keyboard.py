"""Everything in a live figure is reached and done by keys, and the notebook hears none of them."""

import pytest

from pages.figure_in_lab import FOCUS
from pages.live_figures import LINES

pytestmark = pytest.mark.xdist_group("live figures")
every_figure = pytest.mark.parametrize("standing", LINES, indirect=True)

FIRST = "root => root.querySelector('button, input, select').focus()"
HERE = """root => {
  const one = document.activeElement;
  if (!root.contains(one)) return null;
  root.walked ??= new Map();
  if (!root.walked.has(one)) root.walked.set(one, root.walked.size);
  return root.walked.get(one);
}"""
WALKED = """root => [...root.walked.keys()].map(one => [
  ['.hop-controls', 'svg', '.hop-player', 'details'].findIndex(place => one.closest(place)),
  one.touch?.action ?? one.getAttribute('aria-label') ?? one.textContent])"""
MISSED = """root => [...root.querySelectorAll('button, input, select, summary, [tabindex="0"]')]
  .filter(one => one.checkVisibility() && !one.disabled && !root.walked.has(one))
  .map(one => one.outerHTML.slice(0, 120))"""
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
NOTEBOOK = """() => ({
  cells: [...document.querySelectorAll('.jp-Notebook .jp-Cell')].map(cell =>
    [cell.className.match(/jp-\\w+Cell/)[0], cell.querySelector('.cm-content')?.textContent]),
  chosen: [...document.querySelectorAll('.jp-Notebook .jp-Cell')]
    .map(cell => cell.classList.contains('jp-mod-active')),
  dialogs: document.querySelectorAll('.jp-Dialog').length,
})"""


@every_figure
def test_tab_reaches_everything_from_top_to_bottom_and_leads_out_again(standing):
    standing.root.evaluate(FIRST)
    seen = []
    while (here := standing.root.evaluate(HERE)) is not None and here == len(seen):
        seen.append(here)
        standing.page.keyboard.press("Tab")
    assert here is None, "Tab goes round and round in the figure"
    assert standing.root.evaluate(MISSED) == []
    walked = standing.root.evaluate(WALKED)
    regions = [region for region, _ in walked]
    assert regions == sorted(regions)
    touched = [what for region, what in walked if region == 1]
    assert len(set(touched)) == len(touched), "Tab stops twice at parts with one action"


@every_figure
def test_arrows_reach_every_part_that_can_be_touched(standing):
    assert standing.root.evaluate(NOT_REACHED_BY_ARROWS) == []


@every_figure
def test_no_key_in_a_figure_reaches_the_notebook(figure):
    figure.root.evaluate(FIRST)  # who goes into a figure chooses its cell
    before = figure.page.evaluate(NOTEBOOK)
    for action in figure.actions():
        for key in (*LETTERS, *OTHERS):
            if figure.root.evaluate(FOCUS, action):
                figure.page.keyboard.press(key)
        figure.page.keyboard.press("Escape")  # an open list takes all keys
        figure.answered()
    assert figure.page.evaluate(NOTEBOOK) == before
    assert figure.root.is_visible()


@every_figure
def test_all_that_can_be_touched_answers_to_keys(figure):
    """Each part and each control changes something that can be seen, at first or after another."""
    actions, silent = figure.actions(), []
    for action in actions:
        if not _changes(figure, action) and not _changes_after_another(figure, action, actions):
            silent.append(action)
    assert silent == []


def _changes_after_another(figure, action, actions):
    """As a button to start again, where nothing was done yet, or a guess whose answer is out."""
    figure.run_anew()
    figure.use(next(other for other in reversed(actions) if other != action))
    return _changes(figure, action)


def _changes(figure, action):
    before = figure.state()
    if not figure.use(action):  # taken away by another one, as a question is by its answer
        figure.run_anew()
        before = figure.state()
        figure.use(action)
    return figure.state() != before
