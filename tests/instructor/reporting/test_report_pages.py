"""The report's page, tables and terminal form: what they show, and that nothing runs."""

import csv
import io
import re

import pytest
from rich.console import Console

from course_lib.exercises.verdict import Outcome
from instructor.grading.pages.scores import write_scores
from instructor.reporting import pictures, report_pages
from instructor.reporting.class_report import class_report
from instructor.reporting.intervals import Estimate
from instructor.reporting.report_csv import EXERCISE_COLUMNS, MISCONCEPTION_COLUMNS
from instructor.reporting.report_pages import OUTCOME_GROUPS, write_report
from instructor.reporting.shared_ideas import SHARED_BY
from instructor.reporting.since_last_run import Moved, SinceLastRun
from instructor.reporting.still_unclear import Unclear
from instructor.reporting.terminal import terminal_report

pytestmark = pytest.mark.usefixtures("own_wording")

HOSTILE = "</td><script>alert('ran')</script><img src=x onerror=alert('ran')>\u202e\ud800=1+1"


@pytest.fixture
def result(made):
    """Give a class of eight in one unit and of three in another, with all that can go wrong."""
    offset = made.answer(made.FRAGMENT, Outcome.PARTLY_RIGHT, (1, 0), "offset-in-octets")
    right = made.answer(made.FRAGMENT, Outcome.RIGHT, source="def f(d):\n    return d[0] * 8\n")
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


def test_page_tells_belief_count_interval_names_code_and_next_step(page):
    """Wilson's interval of 6 in 8, by the formula: 41 to 93 %."""
    assert "The offset field already counts octets" in page.words
    assert "6 of the 8 who tried: 75 % (41 to 93 %)" in page.words
    assert "Who s0, s1, s2, s3, s4, s5" in page.words
    assert "One line return data[offset]" in page.words
    assert "Ask The field has 13 bits" in page.words
    assert "With everybody: let each write an answer down" in page.words


def test_page_points_to_where_one_marks_and_lists_nothing_of_it_itself(page):
    links = [attrs["href"] for tag, attrs in page.elements if tag == "a"]
    assert "../summary.html#person" in links
    assert "2 things wait for a person" in page.words
    assert "two different cells" not in page.words


SHOWN = report_pages.IN_FULL + report_pages.IN_SHORT


@pytest.mark.parametrize(
    ("shared", "alone", "in_full", "in_short", "folded"),
    [
        (0, 0, 0, 0, 0),
        (2, 0, 2, 0, 0),
        (0, 2, 0, 0, 2),
        (4, 5, 3, 1, 5),
        (SHOWN + 2, 3, 3, report_pages.IN_SHORT, 5),
    ],
    ids=["nothing", "all shared", "none shared", "some of both", "more than a page holds"],
)
def test_what_three_or_more_share_stands_first_and_the_tail_is_folded(
    made, pages, shared, alone, in_full, in_short, folded
):
    rows = {f"m{n:02}": {"belief": f"octet {n:02}", "next": "?"} for n in range(shared + alone)}
    held = [name for name in list(rows)[:shared] for _ in range(SHARED_BY)] + list(rows)[shared:]
    right = [made.answer(made.WORD, Outcome.RIGHT)] * 5
    answers = [made.answer(made.WORD, Outcome.WRONG, (), name) for name in held]
    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(made.ROWS["1.1"], "misconceptions", rows)
        report = class_report(
            made.batch([made.hand_in(f"s{n:03}", one) for n, one in enumerate([*answers, *right])])
        )
        page = pages.PageReader(report_pages.report_page(report, 0))
    text = page.words[page.words.rindex("What to take up first") :]
    section = text[: text.index("Who stands where")]
    others = text.partition("What else is shared")[2].partition("Exercises, weakest first")[0]
    opened, _, tail = (section + others).partition(" more, each shared by")
    assert section.count("Ask ") == in_full
    assert opened.casefold().count("octet ") == in_full + in_short
    assert tail.count("octet ") == folded
    assert page.dangers() == []


def test_names_behind_a_belief_are_counted_where_there_are_too_many_to_list(made, pages):
    offset = made.answer(made.FRAGMENT, Outcome.WRONG, (), "offset-in-octets")
    report = class_report(made.batch([made.hand_in(f"s{n:02}", offset) for n in range(33)]))
    words = pages.PageReader(report_pages.report_page(report, 0)).words
    assert "s28, s29 and 3 more" in words


def test_the_page_says_for_whom_it_is_and_leaves_the_rest_to_local_rules(page):
    assert "for those who teach the class, and nobody else" in page.words
    assert (
        "Who may see it, and how long it may be kept, is for the rules of your site" in page.words
    )


def test_what_is_beside_the_verdicts_is_told_too(made, pages, result, tmp_path):
    voices = [Unclear(made.UNIT, f"thing {n} {HOSTILE}", ("s1", "s2")) for n in range(5)]
    since = SinceLastRun(
        is_first=False, before=0.25, new=((made.UNIT, 2),),
        moved=(Moved("1.3", (("rose", 3), ("fell", 1))),), why=(("corrected", 4),),
    )  # fmt: skip
    beside = report_pages.Beside((), tuple(voices), since)
    path = write_report(tmp_path, result, beside)
    page = pages.PageReader(path.read_text(encoding="utf-8"))
    assert "before, it had 25 %" in page.words
    assert "2 of unit 01" in page.words
    assert "corrected (4)" in page.words
    assert "1.3: 3 rose, 1 fell" in page.words
    assert page.words.index("thing 2") < page.words.index("2 more") < page.words.index("thing 3")
    assert page.dangers() == []


def test_page_gives_no_figure_for_a_small_group_and_warns(page):
    assert "one fold always suffices · 2.1" in page.words
    assert "too few" in page.words
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
    assert any(one.startswith("Of 7 points there are, half of the 9 students") for one in sentences)
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
        "unit,exercise,title,misconception,belief,next,tried,students,share,share_low,share_high,"
        "idea"
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
    held = made.answer(
        made.FRAGMENT,
        Outcome.WRONG,
        (),
        "offset-in-octets",
        source=f"def f():\n    {HOSTILE!a}[0]\n",
    )
    many = [made.hand_in(f"{HOSTILE}{n}", held) for n in range(5)]
    return made.batch([*named, *many], [made.refused(HOSTILE.replace("/", "∕"), HOSTILE, HOSTILE)])


def test_what_a_student_wrote_is_text(made, pages, tmp_path):
    page = pages.PageReader(write_report(tmp_path, hostile_result(made)).read_text("utf-8"))
    assert page.dangers() == []
    assert (page.badly_nested, page.open) == ([], [])
    ids = 6 + 6 + 5  # in the dots, in the grid, and behind a belief
    assert page.text.count("<script>alert('ran')") == ids + 1  # and in a line of code


def test_nothing_runs_and_nothing_is_fetched_in_a_browser(made, tmp_path, looked_at):
    path = write_report(tmp_path / "report", hostile_result(made))
    seen = looked_at(path)
    first, *followed = seen.pop("requests")  # Enter may follow a link to a neighbour
    assert first == path.as_uri()
    assert all(one.startswith(f"{tmp_path.as_uri()}/") for one in followed)
    assert seen == {"scripts": [], "dialogs": [], "blocked": []}


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


@pytest.mark.parametrize("students", [["alder"], ["alder", "bracken"]])
def test_a_class_of_which_nothing_could_be_graded_has_a_report(made, tmp_path, students):
    """No exercise, so no points: there is nothing to draw, and that is no reason to stop."""
    result = made.batch([made.hand_in(student) for student in students], [])
    page = write_report(tmp_path, result).read_text("utf-8")
    assert "Class report" in page
