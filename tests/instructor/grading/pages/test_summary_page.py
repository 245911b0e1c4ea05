"""The grader's summary: what needs a person, changes, pairs for a look; nothing that runs."""

from course_lib.exercises.verdict import Outcome
from instructor.grading.gradebook.totals import Total
from instructor.grading.pages.summary_page import Summary, write_summary
from instructor.grading.pages.waiting import marking_page
from instructor.grading.pages.whose_numbers import NumbersUsed
from instructor.grading.record.record import PointsChange
from instructor.grading.similarity.library_copies import LibraryCopy
from instructor.grading.similarity.pairs import Alike

HOSTILE = "<script>alert(1)</script>"


def page(tmp_path, pages, result, totals=(), changes=(), alike=(), copies=(), numbers=()):
    summary = Summary(result, totals, changes, alike, copies, numbers=numbers)
    write_summary(tmp_path / "summary.html", summary)
    return pages.PageReader((tmp_path / "summary.html").read_text(encoding="utf-8"))


def busy(made):
    undecided = made.answer(made.WORD, Outcome.COULD_NOT_TELL, note=f"two cells {HOSTILE}")
    right = made.answer(made.WORD, Outcome.RIGHT)
    result = made.batch(
        [made.hand_in(HOSTILE, undecided), made.hand_in("bracken", right)],
        [made.refused(f"{HOSTILE}.ipynb", "the file is empty", "dill")],
    )
    return {
        "result": result,
        "totals": (Total(HOSTILE, made.UNIT, 1, 2, 0.5, 5400, ("explain-1", "mark-1-1")),),
        "changes": (
            PointsChange("bracken", made.UNIT, "1.1", None, 2.0, "", "right", "corrected"),
        ),
        "alike": (Alike(made.UNIT, "alder", HOSTILE, 30, 40, ("read_word", HOSTILE)),),
        "copies": (
            LibraryCopy(made.UNIT, "clover", "1.4", "course_lib.some.function", 57, 60),
            LibraryCopy(made.UNIT, "clover", "1.4", "course_lib.some.other", 20, 24),
            LibraryCopy(made.UNIT, HOSTILE, "1.5", "course_lib.some.other", 20, 24),
        ),
        "numbers": (
            NumbersUsed("elder", made.UNIT, "another student's", HOSTILE),
            NumbersUsed("fennel", made.UNIT, "nobody's"),
        ),
    }


def test_everything_that_a_grader_must_know_is_on_the_page(tmp_path, pages, made):
    words = page(tmp_path, pages, **busy(made)).words
    for what in (
        "dill", "the file is empty", "two cells", "explain-1", "1.5", "corrected", "75",
        "read_word", "rules of your site",
    ):  # fmt: skip
        assert what in words


def test_an_answer_to_decide_is_not_listed_twice(tmp_path, pages, made):
    assert "mark-1-1" not in page(tmp_path, pages, **busy(made)).words


def test_the_page_leads_to_where_one_marks(tmp_path, pages, made):
    links = [attrs.get("href", "") for _, attrs in page(tmp_path, pages, **busy(made)).elements]
    assert [one for one in links if "formgrader" in one] == [marking_page(made.UNIT)]


def test_the_first_sentence_counts_what_waits(tmp_path, pages, made):
    words = page(tmp_path, pages, **busy(made)).words
    assert (
        "3 things wait for a person: 1 file not graded, 1 answer about which nobody could tell, "
        "1 cell to mark by hand."
    ) in words


def test_what_is_like_the_library_is_on_the_page(tmp_path, pages, made):
    words = page(tmp_path, pages, **busy(made)).words
    for what in ("clover", "1.4", "course_lib.some.function", "95"):
        assert what in words


def test_answers_to_read_are_counted_and_not_the_lines_about_them(tmp_path, pages, made):
    words = " ".join(page(tmp_path, pages, **busy(made)).words.split())
    assert "answers to read beside the library 2" in words


def test_whose_numbers_stand_in_a_workbook_is_said_as_a_fact(tmp_path, pages, made):
    words = " ".join(page(tmp_path, pages, **busy(made)).words.split())
    assert f"the code in the workbook is that of {HOSTILE}; marked with the numbers of" in words
    assert "that of nobody who handed in or is listed; marked with the numbers of" in words
    assert "no points hang on it" in words


def test_the_list_of_pairs_accuses_nobody(tmp_path, pages, made):
    words = page(tmp_path, pages, **busy(made)).words
    assert "This list accuses nobody" in words
    assert "Short answers cannot tell" in words
    assert "This list accuses nobody either" in words
    for word in ("cheat", "plagiar", "copied", "suspect", "guilty", "caught"):
        assert word not in words.lower()


def test_a_quiet_class_gives_a_quiet_page(tmp_path, pages, made):
    result = made.batch([made.hand_in("alder", made.answer(made.WORD, Outcome.RIGHT))])
    words = page(tmp_path, pages, result).words
    for what in ("Every file was graded", "Nobody's points are other", "No pair of workbooks",
                 "No answer has much in common"):  # fmt: skip
        assert what in words
    assert "Whose numbers" not in words


def test_nothing_runs_or_loads_and_every_reference_leads_somewhere(tmp_path, pages, made):
    whole = page(tmp_path, pages, **busy(made))
    assert whole.dangers() == []
    assert whole.dangling() == []
    assert whole.badly_nested == []
    assert pages.skipped_levels(whole.headings) == []
    assert HOSTILE in whole.text
    assert "default-src 'none'" in whole.policy
