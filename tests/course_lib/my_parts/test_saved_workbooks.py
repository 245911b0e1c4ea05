"""A saved workbook is found and read in any format, and a file that cannot be is named."""

import json

import nbformat
import pytest

from course_lib.my_parts import my_parts
from instructor.units.items import item, source_of

pytestmark = pytest.mark.usefixtures("started_by_a_fork")

UNIT = "02-checksums"
FOLD = source_of(item("2.1").answer)


def one(*functions):
    """Return the first part that is asked for."""
    return next(iter(my_parts(*functions)))


def test_without_a_workbook_all_is_borrowed_and_that_is_said(save):
    part = one("fold")
    assert part.whose == "borrowed"
    assert part.why == "your workbook 02-checksums.ipynb was not found"


@pytest.mark.parametrize(
    ("octets", "why"),
    [
        (b" \n", "the file is empty"),
        (b'{"cells": [{"cell_type": "co', "it is cut short or damaged (not JSON)"),
        (b"\xff\xfe\x00\x01", "it is not text"),
        (b"[1, 2]", "it is not a workbook"),
        (b"{}", "it is not a workbook"),
        (b'{"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": [3]}',
         "it is not a workbook"),
        (b'{"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": 3}',
         "it is not a workbook"),
        (b'{"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": [{"cell_type": "code", '
         b'"metadata": {"nbgrader": []}, "source": "", "outputs": []}]}', "it is not a workbook"),
        (b'{"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": [{"cell_type": "code", '
         b'"metadata": {}, "source": 3, "outputs": []}]}', "it is not a workbook"),
        (b'{"nbformat": 9, "nbformat_minor": 0, "metadata": {}, "cells": []}',
         "Unsupported nbformat version 9"),
    ],
)  # fmt: skip
def test_a_file_that_cannot_be_read_is_named_with_the_reason(save, octets, why):
    save(UNIT, octets=octets)
    part = one("fold")
    assert part.whose == "borrowed"
    assert part.why == f"your workbook 02-checksums.ipynb cannot be read: {why}"


def test_a_file_that_may_not_be_opened_is_named_too(save, monkeypatch):
    save(UNIT, FOLD)

    def refuse(_):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("pathlib.Path.read_bytes", refuse)
    assert one("fold").why.endswith("cannot be read: Permission denied")


def old_format(source):
    """Return a workbook in format 3, with worksheets: what notebooks looked like up to 2014."""
    cell = {"cell_type": "code", "input": source, "language": "python", "outputs": []}
    return {"nbformat": 3, "nbformat_minor": 0, "metadata": {"name": ""},
            "worksheets": [{"cells": [cell]}]}  # fmt: skip


def without_ids(source):
    """Return a workbook in format 4.2, whose cells have no ids and lines in a list."""
    cell = {"cell_type": "code", "source": source.splitlines(keepends=True), "metadata": {},
            "outputs": [], "execution_count": 3}  # fmt: skip
    return {"nbformat": 4, "nbformat_minor": 2, "metadata": {}, "cells": [cell]}


@pytest.mark.parametrize(
    "octets",
    [
        pytest.param(json.dumps(old_format(FOLD)).encode(), id="format-3"),
        pytest.param(json.dumps(without_ids(FOLD)).encode(), id="format-4.2"),
        pytest.param(
            json.dumps({**without_ids(FOLD), "nbformat_minor": 9}).encode(), id="newer-than-ours"
        ),
        pytest.param(b"\xef\xbb\xbf" + json.dumps(without_ids(FOLD)).encode(), id="mark-in-front"),
    ],
)
def test_other_formats_are_read(save, octets):
    save(UNIT, octets=octets)
    assert one("fold").whose == "yours"


def test_a_workbook_that_lies_elsewhere_is_found(save, tmp_path, monkeypatch):
    path = save(UNIT, FOLD)
    for place in (tmp_path / UNIT / path.name, tmp_path / path.name):
        place.parent.mkdir(exist_ok=True)
        path = path.rename(place)
        assert one("fold").whose == "yours"
    monkeypatch.chdir(tmp_path)
    assert one("fold").whose == "yours"


def test_folders_side_by_side_will_do_without_a_bundle(save, tmp_path, monkeypatch):
    path = save(UNIT, FOLD)
    (tmp_path / ".hop-by-hop").unlink()
    assert path.parent.parent == tmp_path / "workbooks"
    assert one("fold").whose == "yours"


def test_markdown_cells_are_not_code(save):
    cells = [nbformat.v4.new_markdown_cell(FOLD)]
    save(UNIT, workbook=nbformat.v4.new_notebook(cells=cells))
    assert one("fold").why == "no answer yet"
