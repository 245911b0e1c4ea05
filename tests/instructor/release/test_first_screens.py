"""Each workbook carries the picture of today, and putting it there touches nothing else."""

import nbformat
import pytest
from nbconvert import HTMLExporter

from instructor.release.first_screens import CELL_ID, cell_source, with_first_look
from instructor.release.workbook_files import read_workbook, unit_names

UNITS = unit_names()


@pytest.mark.parametrize("unit", UNITS)
def test_a_workbook_holds_the_picture_as_it_is_drawn_today(unit):
    cells = read_workbook(unit).cells
    assert cells[1].id == CELL_ID
    assert cells[1].source == cell_source(unit), "python -m instructor.release.first_screens"


def test_a_new_picture_takes_the_place_of_the_old_one_and_of_nothing_else():
    unit = UNITS[0]
    workbook = read_workbook(unit)
    assert with_first_look(workbook, unit) == workbook
    old = read_workbook(unit)
    old.cells[1].source = "![An older one](data:image/svg+xml;base64,AAAA)"
    assert with_first_look(old, unit) == workbook
    without = read_workbook(unit)
    del without.cells[1]
    assert with_first_look(without, unit) == workbook
    nbformat.validate(with_first_look(without, unit))


@pytest.mark.parametrize("unit", UNITS)
def test_an_exported_page_shows_it_with_its_words(unit):
    page, _ = HTMLExporter().from_notebook_node(read_workbook(unit))
    before, _, octets = cell_source(unit).partition("](")
    assert f'src="{octets.removesuffix(")")}"' in page
    assert f'alt="{before.removeprefix("![")}"' in page
