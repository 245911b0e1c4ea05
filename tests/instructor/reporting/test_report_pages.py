"""The report's page, tables and terminal form: what they show, and that nothing runs."""

import csv
import io
import re

import pytest
from rich.console import Console

from course_lib.exercises.verdict import Outcome
from instructor.grading.pages.scores import write_scores
from instructor.reporting import pictures
from instructor.reporting.intervals import Estimate
from instructor.reporting.report_csv import EXERCISE_COLUMNS, MISCONCEPTION_COLUMNS
from instructor.reporting.report_pages import OUTCOME_GROUPS, write_report
from instructor.reporting.terminal import terminal_report

pytestmark = pytest.mark.usefixtures("own_wording")

HOSTILE = "</td><script>alert('ran')</script><img src=x onerror=alert('ran')>\u202e\ud800=1+1"


@pytest.fixture
def result(made):
    """Give a class of eight in one unit and of three in another, with all that can go wrong."""
    offset = made.answer(made.FRAGMENT, Outcome.PARTLY_RIGHT, (1, 0), "offset-in-octets")
    right = made.answer(made.FRAGMENT, Outcome.RIGHT)
    first = [made.hand_in(f"s{n}", offset if n < 6 else right) for n in range(8)]
    once = made.answer(made.FOLD, Outcome.WRONG, (), "folds-once")
    second = [made.hand_in(f"s{n}", once) for n in range(3)]
    lost = made.answer(made.WORD, Outcome.COULD_NOT_TELL, note="two different cells")
    return made.batch(
        [*first, *second, made.hand_in("willow", lost)],
        [made.refused("IMG 3.ipynb", "the file is empty")],
    )


@pytest.fixture
def page(pages, result, tmp_path):
    return pages.PageReader(write_report(tmp_path, result).read_text(encoding="utf-8"))


def rows(path):
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def test_page_tells_belief_count_interval_and_next_step(page):
    """Wilson's interval of 6 in 8, by the formula: 41 to 93 %."""
    assert "the offset field already counts octets" in page.words
    assert "6 of the 8 who tried: 75 % (41 to 93 %)" in page.words
    assert "In class With everybody" in page.words
    assert "Ask The field has 13 bits" in page.words


def test_page_tells_what_there_is_no_room_to_draw_in_a_table(made, pages, tmp_path):
    """Nine misconceptions, of which eight are drawn."""
    rows = {f"m{n}": {"belief": f"belief {n}", "next": f"question {n}?"} for n in range(9)}
    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(made.ROWS["1.1"], "misconceptions", rows)
        shown = [made.answer(made.WORD, Outcome.WRONG, (), name) for name in rows]
        result = made.batch([made.hand_in(f"s{n}", one) for n, one in enumerate(shown)])
        page = pages.PageReader(write_report(tmp_path, result).read_text(encoding="utf-8"))
    assert page.headings.count(3) == 8
    assert re.search(
        r"belief 8 ?1\.1 ?1 of 9 ?11 % \(2 to 43 %\) ?in pairs ?question 8\?", page.words
    )
    assert page.dangers() == []


def test_page_lists_what_a_person_must_do(page):
    assert "2 different" not in page.words
    assert re.search("willow ?1.1 Read a 16-bit word ?two different cells", page.words)
    assert re.search("IMG 3.ipynb ?nobody known ?the file is empty", page.words)


def test_page_gives_no_figure_for_a_small_group_and_warns(page):
    assert "one fold always suffices" in page.words
    assert "No figure: fewer than 5 answers." in page.words
    assert "of the 3 who tried" not in page.words
    assert "No figures where fewer than 5 were marked: 02-checksums (3)." in page.words
    assert "intervals are wide" in page.words


def test_page_is_sound_and_harmless(pages, page):
    assert page.dangers() == []
    assert (page.badly_nested, page.open) == ([], [])
    assert pages.skipped_levels(page.headings) == []
    assert page.dangling() == []
    assert len(set(page.ids)) == len(page.ids)
    assert page.policy.startswith("default-src 'none'; style-src 'sha256-")


def test_every_picture_says_what_it_shows(page):
    drawn = [attrs for tag, attrs in page.elements if tag == "svg" and attrs.get("role") == "img"]
    sentences = [attrs["aria-label"] for attrs in drawn]
    assert "75\xa0% (41 to 93\xa0%)".replace(" ", "\xa0") in sentences
    assert "right 2\xa0workbooks (25\xa0%), partly right 6\xa0workbooks (75\xa0%)" in sentences
    assert all(sentences)


def test_every_outcome_has_one_group_and_every_group_a_pattern_of_its_own():
    grouped = [outcome for group in OUTCOME_GROUPS for outcome in group.outcomes]
    assert sorted(one.name for one in grouped) == sorted(one.name for one in Outcome)
    assert tuple(group.pattern for group in OUTCOME_GROUPS) == pictures.OUTCOME_PATTERNS
    drawn = {str(pictures.swatch(name)) for name in pictures.OUTCOME_PATTERNS}
    assert len(drawn) == len(OUTCOME_GROUPS)


def test_a_bar_is_divided_as_the_counts_are():
    drawn = str(pictures.outcome_picture((10, 0, 5, 0, 5, 0), "how it went"))
    places = re.findall(r'class="segment (\w+)".*? x="([\d.]+)%" width="([\d.]+)%"', drawn)
    assert places == [
        ("right", "0.0", "50.0"),
        ("wrong", "50.0", "25.0"),
        ("none", "75.0", "25.0"),
    ]
    assert re.findall(r">(\d+)</text>", drawn) == ["10", "5", "5"]


def test_a_band_lies_where_the_interval_does():
    drawn = str(pictures.interval_picture(Estimate(0.5, 0.25, 0.8), "half of them"))
    assert 'class="band" x="25.0%" width="55.00%"' in drawn
    assert 'class="dot" cx="50.0%"' in drawn


def test_a_sentence_for_a_picture_is_escaped():
    drawn = str(pictures.interval_picture(Estimate(0.5, 0.2, 0.8), '"><script>'))
    assert "<script>" not in drawn


def test_tables_have_their_columns_and_the_same_figures(result, tmp_path):
    write_report(tmp_path, result)
    exercises, (offset, once) = (
        rows(tmp_path / "exercises.csv"),
        rows(tmp_path / "misconceptions.csv"),
    )
    assert tuple(exercises[0]) == EXERCISE_COLUMNS
    assert tuple(offset) == MISCONCEPTION_COLUMNS
    assert [row["exercise"] for row in exercises] == ["1.3", "1.1", "2.1"]
    assert (exercises[0]["partly_right"], exercises[0]["share"]) == ("6", "0.5000")
    assert (offset["students"], offset["tried"], offset["share"]) == ("6", "8", "0.7500")
    assert (once["students"], once["share"], once["belief"]) == ("", "", "one fold always suffices")


def test_columns_never_change():
    """Other programs read these tables by name: a change here breaks them."""
    assert ",".join(EXERCISE_COLUMNS) == (
        "unit,exercise,title,hand_ins,tried,right,partly_right,wrong,error,out_of_time,"
        "two_runs_differ,no_answer,"
        "bad_value,damaged,could_not_tell,max_points,share,share_low,share_high"
    )
    assert ",".join(MISCONCEPTION_COLUMNS) == (
        "unit,exercise,title,misconception,belief,next,tried,students,share,share_low,share_high"
    )


def test_cells_that_look_like_formulas_are_inert(made, tmp_path):
    """Wording that a teacher edits may start with a sign; a spreadsheet must not run it."""
    row = {"=cmd": {"belief": "=1+1", "next": "@SUM(A1)"}}
    shown = made.answer(made.WORD, Outcome.WRONG, (), "=cmd")
    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(made.ROWS["1.1"], "misconceptions", row)
        write_report(tmp_path, made.batch([made.hand_in("alder", shown)]))
    (row,) = rows(tmp_path / "misconceptions.csv")
    assert (row["misconception"], row["belief"], row["next"]) == ("'=cmd", "'=1+1", "'@SUM(A1)")


def test_the_table_of_scores_uses_the_same_guard(made, tmp_path):
    """A file's name may hold half a character, which no table could be written with."""
    refused = made.refused("=cmd|\ud800.ipynb", "empty", "@alder")
    write_scores(tmp_path / "scores.csv", made.batch([], [refused]))
    (row,) = rows(tmp_path / "scores.csv")
    assert (row["student"], row["note"]) == ("'@alder", "'=cmd|[U+D800].ipynb: empty")


def hostile_result(made):
    lost = made.answer(made.WORD, Outcome.COULD_NOT_TELL, note=HOSTILE)
    named = [made.hand_in(HOSTILE, lost, notes=[HOSTILE])]
    return made.batch(named, [made.refused(HOSTILE.replace("/", "∕"), HOSTILE, HOSTILE)])


def test_what_a_student_wrote_is_text(made, pages, tmp_path):
    page = pages.PageReader(write_report(tmp_path, hostile_result(made)).read_text("utf-8"))
    assert page.dangers() == []
    assert (page.badly_nested, page.open) == ([], [])
    assert page.text.count("<script>alert('ran')") == 1 + 2 + 3  # places in the three tables


def test_nothing_runs_and_nothing_is_fetched_in_a_browser(made, tmp_path, looked_at):
    path = write_report(tmp_path, hostile_result(made))
    seen = looked_at(path)
    assert seen == {"scripts": [], "requests": [path.as_uri()], "dialogs": [], "blocked": []}


@pytest.mark.parametrize("width", [320, 800, 1400])
def test_the_page_fits_screens_of_any_width(result, tmp_path, browser, width):
    """No sideways scrolling at 320 pixels: WCAG 2.2, success criterion 1.4.10."""
    view = browser.new_page(viewport={"width": width, "height": 700})
    view.goto(write_report(tmp_path, result).as_uri())
    assert view.evaluate("document.documentElement.scrollWidth") <= width
    view.close()


def test_the_terminal_shows_scores_and_ranked_misconceptions(result):
    console = Console(file=io.StringIO(), width=120)
    console.print(*terminal_report(result))
    text = " ".join(console.file.getvalue().replace("\xa0", " ").split())
    assert re.search(r"1\.3 │ Flags and fragment offset │ +8 │ +2 │ 50 % \(", text)
    assert text.index("the offset field already counts octets") < text.index("one fold always")
    assert "6 of 8" in text
    assert "02-checksums (3)" in text


def test_the_terminal_takes_no_orders_from_wording(made):
    row = {"odd": {"belief": "[bold]\x1b[31mred", "next": "?"}}
    shown = made.answer(made.WORD, Outcome.WRONG, (), "odd")
    console = Console(file=io.StringIO(), width=120)
    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(made.ROWS["1.1"], "misconceptions", row)
        console.print(*terminal_report(made.batch([made.hand_in("alder", shown)])))
    assert "[bold][U+001B][31mred" in console.file.getvalue()
