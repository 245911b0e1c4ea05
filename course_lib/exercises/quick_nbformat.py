"""`nbformat`, loaded in a tenth of the time.

Its checker of schemas brings optional checks along, among them a grammar for internationalised
addresses (RFC 3987), which is compiled when it is loaded: that takes seconds. No schema of a
workbook asks for any of them, so it is loaded as where they are not installed.
"""

__all__ = ["NotebookNode", "from_dict", "nbformat"]

import contextlib
import sys
from collections.abc import Iterator
from types import ModuleType
from typing import cast

OPTIONAL = ("rfc3987_syntax", "isoduration")  # addresses; lengths of time


@contextlib.contextmanager
def _without(*names: str) -> Iterator[None]:
    """Let modules that are not loaded be as if they were not there."""
    held = [name for name in names if name not in sys.modules]
    for name in held:
        sys.modules[name] = cast(ModuleType, None)  # an import fails, as Python's reference says
    try:
        yield
    finally:
        for name in held:
            del sys.modules[name]


with _without(*OPTIONAL):
    import nbformat
    from nbformat import NotebookNode, from_dict
