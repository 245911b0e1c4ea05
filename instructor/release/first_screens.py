"""Put each unit's picture on the first screen of its workbook.

The picture stands in a text cell of its own, octets and all: it is seen before anything was run,
wherever the workbook goes, and no file has to go with it. (As an attachment of the cell,
JupyterLab 4 shows no SVG.) After a change of a picture:

    python -m instructor.release.first_screens
"""

__all__ = ["CELL_ID", "cell_source", "with_first_look"]

import base64
import copy
import sys

import nbformat
from nbformat import NotebookNode

from course_lib.figures.ferry.first_looks import FIRST_LOOKS
from instructor.release.workbook_files import ROOT, read_workbook

CELL_ID = "first-look"


def cell_source(unit: str) -> str:
    """Return the text of the cell with a unit's picture."""
    picture = FIRST_LOOKS[unit]()
    octets = base64.b64encode(picture.svg.encode()).decode()
    return f"![{picture.alternative_text}](data:image/svg+xml;base64,{octets})"


def with_first_look(workbook: NotebookNode, unit: str) -> NotebookNode:
    """Return a copy of a workbook with the picture of today behind its title."""
    written = copy.deepcopy(workbook)
    cell = nbformat.v4.new_markdown_cell(cell_source(unit), id=CELL_ID)
    others = [one for one in written.cells if one.id != CELL_ID]
    written.cells = [others[0], cell, *others[1:]]
    return written


def main() -> int:
    """Write all workbooks whose picture has changed, and name them."""
    for unit in FIRST_LOOKS:
        workbook = read_workbook(unit)
        written = with_first_look(workbook, unit)
        if written != workbook:
            nbformat.write(written, ROOT / "workbooks" / unit / f"{unit}.ipynb")
            print(f"{unit}: the first picture was written")
    return 0


if __name__ == "__main__":
    sys.exit(main())
