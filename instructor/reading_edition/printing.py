"""Pages as PDF, printed by the browser that this machine has: Chromium, or one made from it."""

__all__ = ["NoBrowserError", "find_browser", "print_page"]

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

BROWSERS = ("chromium", "chromium-browser", "chrome")
PRINTING_S = 300


class NoBrowserError(RuntimeError):
    """Nothing here can print a page; the text says what to do."""


def find_browser() -> str:
    """Return where the browser is; raise `NoBrowserError` if there is none."""
    for name in BROWSERS:
        if found := shutil.which(name):
            return found
    raise NoBrowserError(
        "--pdf: there is no Chromium here to print with. Install it, or open the pages in any "
        "browser and print them there."
    )


def print_page(browser: str, page: Path) -> Path:
    """Print a page into a PDF beside it; raise `NoBrowserError` with what the browser said."""
    made = page.with_suffix(".pdf")
    # Chromium's own sandbox cannot be set up by root; the page is ours and holds no script.
    as_root = ["--no-sandbox"] if hasattr(os, "getuid") and os.getuid() == 0 else []
    with tempfile.TemporaryDirectory() as profile:
        done = subprocess.run(
            [browser, "--headless", "--disable-gpu", *as_root, f"--user-data-dir={profile}",
             "--no-pdf-header-footer", "--generate-pdf-document-outline",
             f"--print-to-pdf={made.resolve()}", page.resolve().as_uri()],
            capture_output=True, text=True, timeout=PRINTING_S, check=False,
        )  # fmt: skip
    if done.returncode or not made.exists():
        raise NoBrowserError(f"{browser} did not print {page}: {done.stderr[-400:]}")
    return made
