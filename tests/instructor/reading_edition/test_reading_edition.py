"""The reading edition: whole without a script, in order, with words for every picture, no answer.

What cells show is run once, in a small workbook of its own; the pages of all units are written
without a kernel. One of them is looked at in a browser, by axe-core, and printed.
"""

import itertools
import re
import shutil
from html.parser import HTMLParser

import pytest
from nbformat.v4 import new_code_cell, new_markdown_cell, new_notebook

from instructor.output.wrong_places import WrongPlaceError
from instructor.reading_edition.printing import NoBrowserError, find_browser, print_page
from instructor.reading_edition.shown_outputs import NEEDS_AN_ANSWER, Picture, shown_by
from instructor.reading_edition.workbook_page import workbook_page
from instructor.release.named_units import named_units
from instructor.release.workbook_files import model_answers, read_workbook, unit_names
from pages.axe import find_axe, violations

UNITS = unit_names()
SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20"><path d="M0 0h9"/></svg>'
A_PICTURE = Picture(SVG, 'A header & its "checksum".', "row by row:\n<1> & 2")


class Parts(HTMLParser):
    """What stands in a page: elements with their attributes, in order."""

    def __init__(self, page):
        super().__init__()
        self.found = []
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        self.found.append((tag, dict(attrs)))

    def all(self, *tags):
        return [(tag, about) for tag, about in self.found if tag in tags]


def page_of(unit):
    """Write a unit's page as if every code cell showed a picture and a line."""
    workbook = read_workbook(unit)
    shown = {cell.id: (A_PICTURE, "n < 3") for cell in workbook.cells if cell.cell_type == "code"}
    return workbook_page(workbook, shown)


@pytest.mark.parametrize("unit", UNITS)
def test_a_page_is_whole_and_in_order_and_needs_no_script(unit):
    page = page_of(unit)
    parts = Parts(page)
    assert parts.all("html") == [("html", {"lang": "en"})]
    assert parts.all("script", "link", "iframe", "object") == []
    assert not [about for _, about in parts.found for name in about if name.startswith("on")]
    levels = [int(tag[1]) for tag, _ in parts.all("h1", "h2", "h3", "h4", "h5", "h6")]
    assert levels.count(1) == 1 == levels[0]
    assert all(later <= one + 1 for one, later in itertools.pairwise(levels))
    pictures = [about for _, about in parts.all("img")]
    assert len(pictures) > 10
    assert all(len(about["alt"]) > 10 and about["src"].startswith("data:") for about in pictures)
    assert len(parts.all("details")) == sum("open" in about for _, about in parts.all("details"))
    assert "default-src 'none'" in page
    assert "row by row:\n&lt;1&gt; &amp; 2</pre>" in page


@pytest.mark.parametrize("unit", UNITS)
def test_every_word_of_the_workbook_is_there_and_no_answer(unit):
    page = workbook_page(read_workbook(unit), {})
    read = " ".join(re.sub(r"<[^>]*>", " ", page).split())
    for cell in read_workbook(unit).cells:
        for heading in re.findall(r"^#+ (.*)", cell.source, re.MULTILINE):
            if cell.cell_type == "markdown" and not re.search(r"[`*&<]", heading):
                assert heading in read
    for source in model_answers(unit).values():
        body = [line.strip() for line in source.splitlines() if len(line.strip()) > 40]
        taken = [line for line in body if "def " not in line and line in page]
        assert len(taken) <= len(body) / 4, taken


def cell(name, source, **more):
    return new_code_cell(source, id=name, metadata=more)


@pytest.fixture(scope="module")
def shown():
    marked = {"nbgrader": {"grade_id": "mark-1-1"}}
    return shown_by(new_notebook(cells=[
        new_markdown_cell("# Small\n\n## 1. First"),
        cell("printed", "from course_lib.figures import header_diagram\nprint('one', 2)"),
        cell("drawn", "print('before')\nheader_diagram(bytes(14), 'Ethernet')"),
        cell("live", "from course_lib.widgets import explore_header\nexplore_header(bytes.fromhex("
             "'4500001d006f00007b014419c6336421cb007101'))"),
        cell("answer", "def solve():\n    raise NotImplementedError\n\nprint(7)\nsolve()"),
        cell("check", "print('checked')", **marked),
        cell("asked", "show_progress()"),
        new_markdown_cell("## Real packets"),
        cell("real", "print('sent')"),
        new_markdown_cell("## What changed"),
        cell("after", "'after' * 2"),
    ]))  # fmt: skip


def test_cells_show_what_they_print_and_still_pictures_with_their_words(shown):
    assert shown["printed"] == ("one 2",)
    line, picture = shown["drawn"]
    assert line == "before"
    assert picture.svg.startswith("<svg ")
    assert picture.spoken.startswith("Ethernet header: 14 octets")
    assert "destination" in picture.text
    (live,) = shown["live"]
    assert "198.51.100.33" in live.text
    assert "run the cell" not in live.text
    assert shown["after"] == ("'afterafter'",)


def test_what_needs_an_answer_says_so_and_checks_and_real_packets_are_not_run(shown):
    assert shown["answer"] == ("7", NEEDS_AN_ANSWER)
    assert not {"check", "asked", "real"} & set(shown)


def test_units_are_named_by_number_too_and_in_the_order_of_the_course():
    assert named_units("--units", ["06", UNITS[0]]) == (UNITS[0], UNITS[5])
    with pytest.raises(WrongPlaceError, match="--units 6: there is no such unit"):
        named_units("--units", ["6"])


def test_a_page_shuts_nobody_out_and_prints(browser, need, tmp_path):
    path = tmp_path / "page.html"
    path.write_text(page_of(UNITS[2]), encoding="utf-8")
    page = browser.new_page(viewport={"width": 420, "height": 800}, bypass_csp=True)
    try:
        page.goto(path.as_uri())
        assert violations(page, "html", find_axe(need)) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= 420
    finally:
        page.close()
    made = print_page(find_browser(), path)
    assert made.read_bytes().startswith(b"%PDF-")


def test_without_a_browser_it_is_said_what_to_do(monkeypatch):
    monkeypatch.setattr(shutil, "which", lambda _: None)
    with pytest.raises(NoBrowserError, match="open the pages in any browser and print them there"):
        find_browser()
