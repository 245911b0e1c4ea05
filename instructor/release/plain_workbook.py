"""A workbook of ours, read as it lies there.

Nothing is checked against the schema of notebooks, as nbformat does when it reads one: what we
wrote ourselves is checked by the tests, and to load the checker took a tenth of a second in every
process. Strangers' workbooks are never read here.
"""

__all__ = ["PlainWorkbook", "plain_workbook"]

import json
from pathlib import Path
from typing import Any

from traitlets.utils.bunch import Bunch

PlainWorkbook = Any  # parts by name, as `nbformat` has them: `workbook.cells[0].metadata`


def plain_workbook(path: Path) -> PlainWorkbook:
    """Read a workbook; the source of each cell is one text."""
    workbook = json.loads(path.read_text(encoding="utf-8"), object_hook=Bunch)
    for cell in workbook.cells:
        cell.source = "".join(cell.source)
    return workbook
