"""The sheet to print and to run a room by: what to do when, how long it takes, what goes wrong."""

__all__ = ["write_run_sheet"]

import tomllib
from collections.abc import Sequence
from pathlib import Path

from course_lib.exercises.whole_file import write_whole
from instructor.output.pages import render_page
from instructor.release.workbook_files import ROOT
from instructor.room.kit import Kit

TEMPLATE = Path(__file__).parent / "templates" / "run_sheet.html"
MIB = 1 << 20


def write_run_sheet(path: Path, kit: Kit, units: Sequence[str]) -> None:
    """Write the sheet for a kit and the units of a class; what is there is replaced."""
    page = render_page(
        TEMPLATE,
        kit=kit.folder.name,
        laptops=[one.name for one in kit.laptops],
        size=round(kit.octets / MIB),
        files=kit.files,
        units=[(unit, _minutes(unit)) for unit in units],
    )
    write_whole(path, page)


def _minutes(unit: str) -> int:
    told = tomllib.loads((ROOT / "workbooks" / unit / "unit.toml").read_text(encoding="utf-8"))
    return sum(told["minutes"].values())
