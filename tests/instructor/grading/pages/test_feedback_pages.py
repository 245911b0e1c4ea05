"""A student's page: what it says, what it keeps to itself, and that nothing on it runs."""

import base64
import hashlib
import re
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.exercises.feedback import feedback
from course_lib.exercises.registry import Expected
from course_lib.exercises.verdict import Outcome
from instructor.grading.pages.feedback_pages import page_name, write_feedback_page
from instructor.output.pages import COMMON
from instructor.output.text import visible

pytestmark = pytest.mark.usefixtures("own_wording")

HOSTILE = [
    "<script>window.ran = 1; alert('ran')</script>",
    "<img src=x onerror=\"alert('ran')\">",
    "</pre></code></main><svg onload=alert('ran')>",
    "</style><style>@import 'https://example.com/x.css';</style>",
    "\"><a href=\"javascript:alert('ran')\" autofocus onfocus=alert('ran')>",
    "<iframe srcdoc=\"<script>parent.alert('ran')</script>\"></iframe>",
    "<meta http-equiv=refresh content='0;url=https://example.com/'>",
    "{{ 7 * 7 }}{% raw %}&lt;script&gt;alert('ran')&lt;/script&gt;",
    "<details open ontoggle=alert('ran')><form action=https://example.com/><input autofocus>",
    "a\u202ebidi\u2066 text\u200b\x00\x1b[31m\ud800",
    "x" * 200_000,
]


def page_of(made, folder, student="alder", *answers, notes=(), refused=()):
    answers = answers or (made.answer(made.WORD, Outcome.RIGHT),)
    path = write_feedback_page(
        folder, student, [made.hand_in(student, *answers, notes=notes)], refused
    )
    return path.read_text(encoding="utf-8")


def hostile_page(made, folder, text):
    """Put one text wherever a student's text can come to stand."""
    answer = made.answer(
        made.WORD, Outcome.WRONG, source=f"def f():\n    {text}\n", notes=[text], given=text,
        note=text,
    )  # fmt: skip
    lost = made.answer(made.FRAGMENT, Outcome.COULD_NOT_TELL, note=text, notes=[text])
    file = made.refused(text.replace("/", "∕")[:200], text, "alder")
    return write_feedback_page(
        folder, text, [made.hand_in(text, answer, lost, notes=[text])], [file]
    )


def test_page_tells_outcome_points_and_three_lines(made, pages, tmp_path):
    answer = made.answer(made.FRAGMENT, Outcome.PARTLY_RIGHT, (1, 0), "offset-in-octets")
    words = pages.PageReader(page_of(made, tmp_path, "alder", answer)).words
    assert "partly right · 1 of 3 points" in words
    assert "Asked Take flags and offset out of one word" in words
    assert f"Seen {feedback(answer.verdict).seen}" in words
    assert "Next It looks as if the offset field already counts octets." in words
    assert "flags: 1 of 1 point" in words
    assert "offset: 0 of 2 points" in words


def test_page_holds_all_units_in_order_and_their_sum(made, pages, tmp_path):
    word = made.hand_in("alder", made.answer(made.WORD, Outcome.RIGHT))
    fold = made.hand_in("alder", made.answer(made.FOLD, Outcome.PARTLY_RIGHT, (1, 0)))
    path = write_feedback_page(tmp_path, "alder", [fold, word], [])
    words = pages.PageReader(path.read_text(encoding="utf-8")).words
    assert "3 of 4 points. Begin with 2.1 Bring the carries back in: 1 point more" in words
    overview = words[words.index("Points by unit") :]
    assert overview.index("Unit 01: frames and headers") < overview.index("Unit 02: checksums")


def folded(page):
    """Return the ids of answers that are folded, and of those that are not."""
    ids = [(tag, attrs["id"]) for tag, attrs in page.elements if tag in ("details", "article")]
    return [one for tag, one in ids if tag == "details"], [
        one for tag, one in ids if tag == "article"
    ]


@pytest.mark.parametrize(
    ("outcomes", "shut", "wide"),
    [
        ((Outcome.RIGHT, Outcome.RIGHT), ["answer-1-1", "answer-1-3"], []),
        ((Outcome.RIGHT, Outcome.WRONG), ["answer-1-1"], ["answer-1-3"]),
        ((Outcome.PARTLY_RIGHT, Outcome.NO_ANSWER), [], ["answer-1-1", "answer-1-3"]),
        ((Outcome.COULD_NOT_TELL, Outcome.RIGHT), ["answer-1-3"], ["answer-1-1"]),
        ((Outcome.ERROR, Outcome.DAMAGED), [], ["answer-1-1", "answer-1-3"]),
    ],
)
def test_what_is_not_right_comes_first_and_open_and_what_is_right_is_folded(
    made, pages, tmp_path, outcomes, shut, wide
):
    items = (made.WORD, made.FRAGMENT)
    answers = [made.answer(*one) for one in zip(items, outcomes, strict=True)]
    page = pages.PageReader(page_of(made, tmp_path, "alder", *answers))
    assert folded(page) == (shut, wide)
    tags = [tag for tag, attrs in page.elements if tag in ("details", "article") and "id" in attrs]
    assert tags == ["article"] * len(wide) + ["details"] * len(shut)


@pytest.mark.parametrize(
    ("outcomes", "said"),
    [
        ((Outcome.RIGHT, Outcome.RIGHT), "5 of 5 points. Everything is right."),
        ((Outcome.RIGHT, Outcome.WRONG), "2 of 5 points. Begin with 1.3 Flags and fragment offset"
                                         ": 3 points more to earn there."),
        ((Outcome.COULD_NOT_TELL, Outcome.RIGHT), "3 of 5 points so far; 1 answer still to be "
                                                  "decided."),
    ],
    ids=["all", "one is wrong", "one waits"],
)  # fmt: skip
def test_the_first_sentence_says_what_there_is_and_where_to_begin(
    made, pages, tmp_path, outcomes, said
):
    items = (made.WORD, made.FRAGMENT)
    answers = [made.answer(*one) for one in zip(items, outcomes, strict=True)]
    words = pages.PageReader(page_of(made, tmp_path, "alder", *answers)).words
    assert said in words.replace("\xa0", " ")
    assert ("Everything is right." in words) is (said.endswith("Everything is right."))


@pytest.mark.parametrize("place", [0, 1, 30, 31, 700, 1498, 1499])
def test_octets_that_differ_are_never_cut_off(made, pages, tmp_path, place):
    """Of 1,500 octets one is wrong: the page names the place, and both values there."""
    wanted = bytes(range(250)) * 6
    given = bytearray(wanted)
    given[place] ^= 0xFF
    answer = made.answer(made.FRAGMENT, Outcome.WRONG, given=bytes(given))
    case = replace(answer.verdict.first_wrong, expected=Expected(wanted))
    answer = replace(answer, verdict=replace(answer.verdict, first_wrong=case))
    words = pages.PageReader(page_of(made, tmp_path, "alder", answer)).words
    shown = re.search(r"returned (.*?); expected (.*?)\. Next", words)
    assert shown is not None
    assert f"{given[place]:02x}" in shown[1]
    assert f"{wanted[place]:02x}" in shown[2]


def test_nothing_of_a_page_is_hidden_by_its_style(made, tmp_path, browser):
    """Neither on a screen nor on paper is a line of an open answer cut off."""
    source = f"def f():\n    return {'1' * 300}\n"
    answer = made.answer(made.WORD, Outcome.WRONG, source=source, given="x" * 150)
    page_of(made, tmp_path, "alder", answer)
    view = browser.new_page(viewport={"width": 700, "height": 700})
    view.goto((tmp_path / "alder.html").as_uri())
    for medium in ("screen", "print"):
        view.emulate_media(media=medium)
        cut = view.evaluate(
            "[...document.querySelectorAll('article dd, article .line')]"
            ".filter(one => one.scrollWidth > one.clientWidth + 1).length"
        )
        assert cut == 0
    view.close()


def test_an_undecided_answer_has_no_points_and_is_named_as_waiting(made, pages, tmp_path):
    why = "2 different cells called answer-1-1"
    answer = made.answer(made.WORD, Outcome.COULD_NOT_TELL, note=why, notes=[why])
    words = pages.PageReader(page_of(made, tmp_path, "alder", answer)).words
    assert "1 answer still to be decided" in words
    assert "could not tell · not decided yet" in words
    assert "worth up to 2 points" in words
    assert "words: 0 of 1 point" not in words


def test_faults_of_the_marking_machine_stay_off_the_page(made, pages, tmp_path):
    trouble = "the process for the answer did not start: no such file: /opt/secret/place"
    answer = made.answer(made.WORD, Outcome.COULD_NOT_TELL, note=trouble)
    words = pages.PageReader(page_of(made, tmp_path, "alder", answer)).words
    assert "/opt/secret" not in words
    assert "the fault was on the marking side" in words


def test_notes_are_said_once(made, pages, tmp_path):
    note = "the answer calls parse in place of own work"
    answer = made.answer(made.WORD, Outcome.NO_ANSWER, note=note, notes=[note, "found elsewhere"])
    words = pages.PageReader(page_of(made, tmp_path, "alder", answer)).words
    assert words.casefold().count(note) == 1
    assert words.count("found elsewhere") == 1


def test_what_only_the_verdict_notes_is_said_too(made, pages, tmp_path):
    """Where only cases outside the workbook fail, the note is all there is to say."""
    note = "the cases in the workbook pass; others about “words” do not"
    answer = made.answer(made.WORD, Outcome.WRONG, note=note)
    assert note in pages.PageReader(page_of(made, tmp_path, "alder", answer)).words


def test_files_that_were_not_marked_are_listed_by_name_alone(made, pages, tmp_path):
    refused = [made.refused("alder old.ipynb", "a newer file counts: alder.ipynb", "alder")]
    path = write_feedback_page(tmp_path, "alder", [], refused)
    words = pages.PageReader(path.read_text(encoding="utf-8")).words
    assert "None of your files could be marked." in words
    assert "alder old.ipynb: a newer file counts: alder.ipynb" in words
    assert "handed-in" not in words


def test_code_stands_line_by_line_as_it_was_typed(made, pages, tmp_path):
    source = "def f(x):\r\n\tif x < 1 & x:\r        return '\x0c'\n"
    answer = made.answer(made.WORD, Outcome.RIGHT, source=source)
    text = pages.PageReader(page_of(made, tmp_path, "alder", answer)).text
    assert "def f(x):\n\tif x < 1 & x:\n        return '[U+000C]'\n" in text


def test_very_long_code_is_cut_and_says_so(made, pages, tmp_path):
    source = "\n".join(["y" * 5000, *["pass"] * 1000])
    answer = made.answer(made.WORD, Outcome.RIGHT, source=source)
    page = page_of(made, tmp_path, "alder", answer)
    assert "without its last 601 lines" in pages.PageReader(page).words
    assert "… 4000 more characters" in page
    assert len(page) < 60_000


@pytest.mark.parametrize("text", HOSTILE, ids=lambda text: ascii(text[:24]))
def test_what_a_student_wrote_is_text(made, pages, tmp_path, text):
    path = hostile_page(made, tmp_path, text)
    page = pages.PageReader(path.read_text(encoding="utf-8"))
    assert page.dangers() == []
    assert (page.badly_nested, page.open) == ([], [])
    assert visible(text)[:900] in page.text
    assert path.parent == tmp_path


def test_signs_that_cannot_be_seen_are_written_out(made, pages, tmp_path):
    page = hostile_page(made, tmp_path, HOSTILE[9]).read_text(encoding="utf-8")
    assert "a[U+202E]bidi[U+2066] text[U+200B][U+0000][U+001B][31m[U+D800]" in page
    assert not re.search("[\u202a-\u202e\u2066-\u2069\x00\x1b]", page)


def test_policy_forbids_scripts_and_anything_remote(made, pages, tmp_path):
    page = page_of(made, tmp_path)
    style = re.search("<style>(.*)</style>", page, re.DOTALL)
    assert style is not None
    digest = base64.b64encode(hashlib.sha256(style[1].encode()).digest()).decode()
    assert pages.PageReader(page).policy == (
        f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
    )
    assert "://" not in page


def test_headings_are_in_order_and_references_lead_somewhere(made, pages, tmp_path):
    answers = [made.answer(made.WORD, Outcome.RIGHT), made.answer(made.FRAGMENT, Outcome.WRONG)]
    refused = [made.refused("x.ipynb", "the file is empty", "alder")]
    page = pages.PageReader(page_of(made, tmp_path, "alder", *answers, refused=refused))
    assert page.headings[0] == 1
    assert page.headings.count(1) == 1
    assert pages.skipped_levels(page.headings) == []
    assert page.dangling() == []
    assert len(set(page.ids)) == len(page.ids)


def test_outcome_is_never_told_by_colour_alone(made, pages, tmp_path):
    answers = [made.answer(made.WORD, Outcome.RIGHT), made.answer(made.FRAGMENT, Outcome.ERROR)]
    words = pages.PageReader(page_of(made, tmp_path, "alder", *answers)).words
    assert "✓ right · 2 of 2 points" in words
    assert "! error · 0 of 3 points" in words


@pytest.mark.parametrize("ground", ["paper", "panel"])
@pytest.mark.parametrize("ink", ["ink", "soft", "link", "right", "partly", "not", "wait"])
def test_every_text_has_enough_contrast_by_day_and_by_night(pages, ink, ground):
    """At least 4.5 to 1: WCAG 2.2, success criterion 1.4.3."""
    day, night = pages.colours((COMMON / "page.css").read_text(encoding="utf-8"))
    assert pages.contrast(day[ink], day[ground]) >= 4.5
    assert pages.contrast(night[ink], night[ground]) >= 4.5


def test_contrast_is_worked_out_as_published(pages):
    """Black on white is 21 to 1 (WCAG 2.2). By hand, #767676 gives 4.54 and #777777 gives 4.48."""
    assert pages.contrast("#000000", "#ffffff") == pytest.approx(21)
    assert pages.contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)
    assert pages.contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)


def test_a_plain_id_gives_a_plain_name():
    assert [page_name(one) for one in ("alder", "s-104", "a.b")] == [
        "alder.html", "s-104.html", "a.b.html",
    ]  # fmt: skip


@pytest.mark.parametrize(
    "student",
    ["", ".", "..", "../../etc/passwd", "/etc/passwd", "a\\b", "C:\\x", "con", "NUL.txt", "a\x00b",
     "-rf", "Alder", "al der", "żółw", "\ud800", "z" * 5000, "a\n", "<b>", "a_b", ".hidden"],
)  # fmt: skip
def test_an_odd_id_gives_a_safe_name(made, tmp_path, student):
    assert re.fullmatch(r"[a-z0-9][a-z0-9-]{0,39}_[0-9a-f]{16}\.html", page_name(student))
    page_of(made, tmp_path, student)
    assert [path.name for path in tmp_path.iterdir()] == [page_name(student)]


@given(st.lists(st.text(), unique=True, min_size=2, max_size=8))
def test_two_students_never_share_a_page(students):
    """Not even where a file system takes capital and small letters for the same."""
    assert len({page_name(student).casefold() for student in students}) == len(students)


@given(st.text(st.characters(), max_size=60))
def test_visible_text_can_be_encoded_and_is_a_fixed_point(text):
    shown = visible(text)
    assert shown.encode().decode() == shown
    assert visible(shown) == shown
    assert not set(shown) & set("\u202e\u2066\x1b\x00\r")


def test_nothing_runs_and_nothing_is_fetched_in_a_browser(made, tmp_path, looked_at):
    path = hostile_page(made, tmp_path, "\n".join(HOSTILE[:9]))
    seen = looked_at(path)
    assert seen == {"scripts": [], "requests": [path.as_uri()], "dialogs": [], "blocked": []}


@pytest.mark.parametrize("width", [320, 800])
def test_the_page_fits_screens_of_any_width(made, tmp_path, browser, width):
    """No sideways scrolling at 320 pixels, whatever was typed: WCAG 2.2, criterion 1.4.10."""
    view = browser.new_page(viewport={"width": width, "height": 700})
    view.goto(hostile_page(made, tmp_path, HOSTILE[-1]).as_uri())
    assert view.evaluate("document.documentElement.scrollWidth") <= width
    view.close()


def test_the_policy_alone_would_stop_a_script(made, tmp_path, looked_at):
    """As if escaping had failed: raw hostile markup is put into a finished page."""
    page = page_of(made, tmp_path)
    broken = tmp_path / "broken.html"
    broken.write_text(page.replace("<footer>", HOSTILE[0] + HOSTILE[1] + "<footer>"), "utf-8")
    seen = looked_at(broken)
    assert (seen["scripts"], seen["dialogs"]) == ([], [])
    assert any("Content Security Policy" in message for message in seen["blocked"])


def test_the_browser_would_notice_a_script(tmp_path: Path, looked_at):
    """The two tests above can fail: without a policy, the same script is seen to run."""
    open_page = tmp_path / "open.html"
    open_page.write_text(f"<!doctype html><p>{HOSTILE[0]}</p>", encoding="utf-8")
    seen = looked_at(open_page)
    assert seen["dialogs"] == ["ran"]
    assert seen["scripts"] == [open_page.as_uri()]
