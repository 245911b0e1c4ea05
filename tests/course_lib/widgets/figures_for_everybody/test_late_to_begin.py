"""On a slow machine a figure begins later than what is between Python and the page has patience."""

import pytest

from pages.open_workbook import LATE

pytestmark = pytest.mark.xdist_group("live figures")

# From now on all patience ends before anything else can happen; what ends because of it is noted.
NO_PATIENCE = """() => {
  window.patience = AbortSignal.timeout;
  window.lost = [];
  addEventListener('unhandledrejection', ({reason}) => window.lost.push(reason.message));
  AbortSignal.timeout = () => {
    const ends = new AbortController();
    queueMicrotask(() => ends.abort());
    return ends.signal;
  };
}"""
PATIENCE = "() => { AbortSignal.timeout = window.patience; }"


@pytest.mark.parametrize("standing", ["trie"], indirect=True)
def test_a_figure_that_begins_late_hears_python_all_the_same(standing):
    standing.page.evaluate(NO_PATIENCE)
    try:
        standing.run_anew()
    finally:
        standing.page.evaluate(PATIENCE)
    assert standing.page.evaluate("window.lost") == [LATE]
    assert [one.action for one in standing.walk()[1:] if one.is_other]
    assert standing.refusal() == ""
