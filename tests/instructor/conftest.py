"""What the tests of pages and reports share: hand-made results, and a real browser."""

import importlib.util
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Dialog

CHROMIUM = Path("/usr/bin/chromium")
QUIET = (
    "--no-sandbox", "--disable-quic", "--disable-background-networking", "--no-first-run",
    "--disable-component-update", "--disable-sync",
)  # fmt: skip
TWO_FRAMES = "new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))"


def _beside(name: str) -> Any:
    """Load a module that lies beside this file: `tests` is no package to import from."""
    spec = importlib.util.spec_from_file_location(name, Path(__file__).with_name(f"{name}.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def made() -> Any:
    """Give the module `hand_made.py`."""
    return _beside("hand_made")


@pytest.fixture(scope="session")
def pages() -> Any:
    """Give the module `page_reader.py`."""
    return _beside("page_reader")


@pytest.fixture
def own_wording(made: Any) -> Iterator[None]:
    """Use the wording of `hand_made.py` in place of the course's."""
    with made.wording():
        yield


@pytest.fixture(scope="session")
def browser() -> "Iterator[Browser]":
    """Start one headless browser; without one, skip here and fail in CI."""
    if not CHROMIUM.exists():
        why = f"no browser at {CHROMIUM}: nobody has tried whether a script runs"
        if os.environ.get("CI") == "true":
            pytest.fail(why)
        pytest.skip(why)
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        started = play.chromium.launch(executable_path=CHROMIUM, args=list(QUIET))
        yield started
        started.close()


@pytest.fixture
def looked_at(browser: "Browser") -> Callable[[Path], dict[str, list[str]]]:
    """Give a function that opens a page, pokes at it, and tells what ran and what was fetched."""

    def look(path: Path) -> dict[str, list[str]]:
        seen: dict[str, list[str]] = {"scripts": [], "requests": [], "dialogs": [], "blocked": []}

        def note_dialog(dialog: "Dialog") -> None:
            seen["dialogs"].append(dialog.message)
            dialog.dismiss()

        page = browser.new_page()
        page.on("request", lambda request: seen["requests"].append(request.url))
        page.on("dialog", note_dialog)
        page.on("console", lambda message: seen["blocked"].append(message.text))
        watch = page.context.new_cdp_session(page)
        watch.on("Debugger.scriptParsed", lambda event: seen["scripts"].append(event["url"]))
        watch.send("Debugger.enable")
        page.goto(path.as_uri(), wait_until="load")
        for key in ("Tab",) * 12 + ("Enter",):
            page.keyboard.press(key)
        page.mouse.move(300, 300)
        page.mouse.click(300, 400)
        page.evaluate(TWO_FRAMES)
        page.close()
        seen["scripts"] = [url for url in seen["scripts"] if url]  # the driver's own have none
        return seen

    return look
