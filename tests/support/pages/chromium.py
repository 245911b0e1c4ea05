"""A headless Chromium for tests that look at pages."""

import contextlib

import pytest

PATIENCE_S = 200  # what is waited for is there within a second, on a machine with nothing to do
OPTIONS = [
    "--no-sandbox", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--disable-gpu",
]  # fmt: skip


@contextlib.contextmanager
def chromium(need):
    """Start a browser, and end it; while it is there, an event loop runs in this thread."""
    path = need("chromium", "apt-get install chromium")
    playwright = pytest.importorskip("playwright.sync_api")
    playwright.expect.set_options(timeout=PATIENCE_S * 1000)  # a busy machine may take its time
    with playwright.sync_playwright() as starter:
        running = starter.chromium.launch(executable_path=path, args=OPTIONS)
        yield running
        running.close()


class KeptChromium:
    """A browser that is started once for tests that follow each other."""

    def __init__(self):
        self._ends = contextlib.ExitStack()
        self._running = None

    @contextlib.contextmanager
    def lent(self, need):
        """Lend the browser, without a page; afterwards no page is left in it."""
        if self._running is None:
            self._running = self._ends.enter_context(chromium(need))
        yield self._running
        for context in self._running.contexts:
            context.close()

    def end(self):
        """End it, if it was started; it can be started again."""
        self._running = None
        self._ends.close()


KEPT = KeptChromium()
