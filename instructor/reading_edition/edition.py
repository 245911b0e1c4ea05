"""The reading edition of some units: a page for each, and a PDF of it where a browser prints."""

__all__ = ["write_edition"]

from collections.abc import Iterable, Iterator
from pathlib import Path

from course_lib.exercises.whole_file import write_whole
from instructor.reading_edition.printing import print_page
from instructor.reading_edition.shown_outputs import shown_by
from instructor.reading_edition.workbook_page import workbook_page
from instructor.release.workbook_files import read_workbook


def write_edition(folder: Path, units: Iterable[str], browser: str = "") -> Iterator[Path]:
    """Write the page of each unit, and yield its path: the next one is made when that is asked for.

    Each workbook is run once in a kernel of its own. Raises `NoBrowserError` if a browser is named
    and does not print.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for unit in units:
        workbook = read_workbook(unit)
        page = folder / f"{unit}.html"
        write_whole(page, workbook_page(workbook, shown_by(workbook)))
        if browser:
            print_page(browser, page)
        yield page
