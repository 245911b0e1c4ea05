"""The board as a page for the wall: it asks for itself anew, and is read from the back row."""

__all__ = ["EVERY_S", "board_page"]

import datetime
import tomllib
from pathlib import Path

from instructor.output.pages import render_page
from instructor.release.workbook_files import ROOT
from instructor.room.board import SMALLEST_GROUP, SMALLEST_ROOM, Board

EVERY_S = 10  # it is written, and asked for, so often
TEMPLATE = Path(__file__).parent / "templates" / "board.html"
WIDE = 1000  # of a bar, in units of its own


def board_page(board: Board, at: datetime.datetime) -> str:
    """Return the page, as of a moment."""
    facts = tomllib.loads((ROOT / "workbooks" / board.unit / "unit.toml").read_text("utf-8"))
    return render_page(
        TEMPLATE, board=board, title=facts["title"], number=board.unit.partition("-")[0], at=at,
        every_s=EVERY_S, smallest_room=SMALLEST_ROOM, smallest_group=SMALLEST_GROUP, wide=WIDE,
    )  # fmt: skip
