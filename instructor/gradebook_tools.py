"""What the gradebook's tools need from their surroundings.

nbgrader starts another program, `alembic`, by its bare name. It was installed
beside this Python, which is not on the path unless somebody activated the
environment. And it saves objects in an order that newer releases of SQLAlchemy warn
about, although what is saved is right.
"""

__all__ = ["open_gradebook", "tools_on_path"]

import contextlib
import os
import sys
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import Any


@contextlib.contextmanager
def tools_on_path() -> Iterator[None]:
    """Let programs that were installed beside this Python be found by name."""
    before = os.environ.get("PATH", os.defpath)
    os.environ["PATH"] = f"{Path(sys.executable).parent}{os.pathsep}{before}"
    try:
        yield
    finally:
        os.environ["PATH"] = before


@contextlib.contextmanager
def open_gradebook(url: str) -> Iterator[Any]:
    """Open the gradebook at `url`, making it if it is not there yet."""
    from nbgrader.api import Gradebook
    from sqlalchemy.exc import SAWarning

    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", category=SAWarning, module="nbgrader")
        with tools_on_path(), Gradebook(url) as book:
            yield book
