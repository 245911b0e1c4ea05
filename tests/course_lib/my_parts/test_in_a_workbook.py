"""The cell of unit 04 in a real kernel, beside a workbook of unit 01 with and without answers."""

import pytest
from nbclient import NotebookClient

from hand_ins.hand_in_files import blank, solved
from instructor.release.workbook_files import read_workbook

CELLS = ("setup", "parts-text", "predict-parts", "parts-run")
FIRST, FOURTH = "01-frames-and-headers", "04-longest-prefix-match"


def shown(folder):
    """Run the cells that use earlier parts; return what the last one printed, and its table."""
    workbook = read_workbook(FOURTH)
    workbook.cells = [cell for cell in workbook.cells if cell.id in CELLS]
    NotebookClient(
        workbook, timeout=600, kernel_name="python3", resources={"metadata": {"path": str(folder)}}
    ).execute()
    printed, table = workbook.cells[-1].outputs
    return printed["text"], table["data"]


@pytest.mark.parametrize(
    ("first", "fourth", "heading"),
    [
        (solved(FIRST), solved(FOURTH), "Parts: 2 yours"),
        (solved(FIRST), blank(FOURTH), "Parts: 1 yours, 1 borrowed"),
        (blank(FIRST), blank(FOURTH), "Parts: 2 borrowed"),
    ],
    ids=["both", "the-parser", "none"],
)
def test_the_packet_goes_the_same_way_whoever_wrote_the_parts(save, first, fourth, heading):
    save(FIRST, workbook=first)
    path = save(FOURTH, workbook=fourth)
    printed, table = shown(path.parent)
    assert printed == "your guess: none yet\nthe packet for 203.0.113.100 goes to Gull\n"
    assert table["text/plain"].splitlines()[0] == heading
    assert f"<strong>{heading}</strong>" in table["text/html"]
