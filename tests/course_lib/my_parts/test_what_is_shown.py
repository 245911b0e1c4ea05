"""The table of parts: as text, and as a page that says the same."""

import os
import re

from course_lib.my_parts import my_parts
from instructor.units.items import item, source_of

UNIT = "02-checksums"
FOLD = source_of(item("2.1").answer)
STUB = "def fold(total: int) -> int:\n    raise NotImplementedError  # your code here\n"


def test_the_text_says_part_whose_and_why(save):
    path = save(UNIT, FOLD)
    os.utime(path, (0, 0))
    heading, read, columns, *rows = str(my_parts("fold", "covers")).splitlines()
    assert heading == "Parts: 1 yours, 1 borrowed"
    assert re.fullmatch(
        r"  Read  02-checksums.ipynb as saved 19(70-01-01|69-12-31) \d\d:\d\d\.", read
    )
    assert columns.split() == ["part", "whose", "why"]
    assert [re.split(r"\s{2,}", row.strip()) for row in rows] == [
        ["fold (2.1)", "yours", "unit 02, all 2 points"],
        ["covers (4.1)", "borrowed", "your workbook 04-longest-prefix-match.ipynb was not found"],
    ]


def test_who_misses_an_answer_is_told_that_the_saved_file_counts(save):
    save(UNIT, STUB)
    assert "Is your newest answer missing? Save that workbook" in str(my_parts("fold"))
    save(UNIT, FOLD)
    assert "Save that workbook" not in str(my_parts("fold"))


def test_the_page_says_the_same_in_a_table_with_headings(save):
    save(UNIT, "def fold(total):\n    raise ValueError('<b>')\n", "raise KeyError('<i>')")
    bundle = my_parts("fold", "covers")._repr_mimebundle_()
    page, text = bundle["text/html"], bundle["text/plain"]
    assert re.findall(r'<th scope="row"[^>]*>([^<]*)<', page) == ["Read"]
    assert re.findall(r'<th scope="col"[^>]*>([^<]*)<', page) == ["part", "whose", "why"]
    cells = re.findall(r"<td[^>]*>([^<]*)</td>", page)
    assert all(cell in " ".join(text.split()) for cell in cells)
    assert "<b>" not in page


def test_a_message_of_a_student_s_own_is_shown_as_text(save):
    save(UNIT, "fold = {}['<i>x</i>']\n")
    page = my_parts("fold")._repr_mimebundle_()["text/html"]
    assert "&lt;i&gt;x&lt;/i&gt;" in page
    assert "<i>" not in page
