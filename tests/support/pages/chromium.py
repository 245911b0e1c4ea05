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
