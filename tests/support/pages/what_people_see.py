"""Look at everything that people get to see of a marked hand-in, and complain if it could hurt.

The student wrote parts of it. So nothing of it may be markup, a formula of a spreadsheet, a sign
that cannot be seen, or much longer than an honest one; and all of it must be text that can be
written down.
"""

import csv
import io
import re
import sys
import unicodedata
from collections.abc import Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

import nbformat
from nbformat import NotebookNode
from rich.console import Console

from course_lib.exercises.display import Panel, sign_of
from course_lib.exercises.verdict import Outcome, Verdict
from course_lib.figures.drawing.signs import drawn
from instructor.grading.gradebook.marked_workbook import cell_digests, marked_workbook
from instructor.grading.intake.hand_ins import HandIn, NotGraded
from instructor.grading.marked import BatchResult, MarkedAnswer, MarkedHandIn
from instructor.grading.pages.feedback_pages import write_feedback_page
from instructor.grading.pages.score_table import score_lines, score_table
from instructor.grading.pages.scores import write_scores
from instructor.grading.pages.summary_page import Summary, write_summary
from pages.page_reader import PageReader

WORDS = 20_000  # characters of all texts of one answer, the student's code aside
PAGE = 2_000_000  # characters of a page; code is cut at 400 lines of 1000 characters
FORMULA = re.compile(r"[\s]*[=+\-@\t\r＝＋－＠]")
UNSEEN = re.compile("[" + "".join(
    re.escape(chr(one)) for one in range(sys.maxunicode + 1)
    if unicodedata.category(chr(one)) in ("Cc", "Cf", "Cs") and one not in (9, 10)
) + "]")  # fmt: skip
MARKUP = re.compile(r"<(?!/?(?:div|span|code|strong|table|tr|th|td|thead|tbody)\b)", re.IGNORECASE)
# The panel's own style sheet and marks, to the letter.
OURS = [
    *re.findall(r"<style>.*?</style>", Panel("", ()).html(), re.DOTALL),
    *(drawn(sign_of(one), 40) for one in Outcome),
]


def look_at(marked: MarkedHandIn, refused: Sequence[NotGraded] = ()) -> None:
    """Make every page and table about a hand-in, and look at each."""
    for answer in marked.answers:
        _look_at_words(answer)
    result = BatchResult((marked,), tuple(refused))
    with TemporaryDirectory() as name:
        folder = Path(name)
        page = write_feedback_page(folder, marked.student, [marked], refused)
        _look_at_page(page.read_text(encoding="utf-8"))
        write_summary(folder / "summary.html", Summary(result, (), (), ()))
        _look_at_page((folder / "summary.html").read_text(encoding="utf-8"))
        write_scores(folder / "scores.csv", result)
        _look_at_table((folder / "scores.csv").read_bytes().decode("utf-8"))
    _look_at_terminal(result)


def look_at_workbook(released: NotebookNode, hand_in: HandIn, marked: MarkedHandIn) -> None:
    """Make the workbook that shows how a hand-in was marked, and look at what is ours in it."""
    workbook = marked_workbook(released, hand_in, marked)
    cell_digests(workbook, marked)
    nbformat.v4.writes(nbformat.from_dict(workbook)).encode("utf-8")
    for cell in workbook.cells:
        for output in cell.get("outputs", []):
            for kind, text in output["data"].items():
                for ours in OURS:
                    text = text.replace(ours, "")
                assert kind != "text/html" or not MARKUP.search(text), "markup in a workbook"
                assert not UNSEEN.search(text), "a sign that cannot be seen in a workbook"


def _look_at_words(answer: MarkedAnswer) -> None:
    verdict: Verdict = answer.verdict
    texts = [verdict.note, *answer.notes]
    if verdict.seen is not None:
        texts.append(verdict.seen.note)
    if verdict.problem is not None:
        texts += [*verdict.problem.kinds, verdict.problem.message, str(verdict.problem.line)]
    assert all(type(text) is str for text in texts), "a text that is none"
    assert sum(map(len, texts)) <= WORDS, "words without end"
    "".join(texts).encode("utf-8")


def _look_at_page(page: str) -> None:
    found = PageReader(page)
    assert found.dangers() == [], "something on a page that runs or loads"
    assert found.badly_nested == [], "markup on a page that is not ours"
    assert not UNSEEN.search(page), "a sign on a page that cannot be seen"
    assert len(page) <= PAGE, "a page without end"


def _look_at_table(text: str) -> None:
    rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert len({len(row) for row in rows}) == 1, "a table whose rows differ in length"
    for cell in (cell for row in rows for cell in row):
        assert not FORMULA.match(cell), "a formula in a table"
        assert not UNSEEN.search(cell), "a sign in a table that cannot be seen"


def _look_at_terminal(result: BatchResult) -> None:
    text = io.StringIO()
    console = Console(file=text, width=200, force_terminal=False)
    console.print(score_table(result))
    for line in score_lines(result):
        console.print(line)
    assert not UNSEEN.search(text.getvalue()), "a sign on the terminal that cannot be seen"
