"""Marking answers in words: who may see the pages, what they show, and what is written down."""

import asyncio
import contextlib
import re
import urllib.parse

import pytest
from nbconvert.filters.markdown import markdown2html
from nbgrader.api import Gradebook
from tornado.httpclient import AsyncHTTPClient, HTTPRequest
from tornado.httpserver import HTTPServer
from tornado.testing import bind_unused_port

from classes.class_of_writers import HOSTILE, with_writers
from classes.gradebook_dump import book_of
from hand_ins.hand_in_files import UNIT
from instructor.marking.marks import MARKS_FILE, open_marks
from instructor.marking.page_server import make_application
from instructor.marking.reading import Reading
from instructor.release.course_folder import named_course
from instructor.release.text_as_text import as_text
from pages.page_reader import PageReader

KEY = "a-key-of-this-session"
READ = f"/read/{UNIT}/explain-1"


@contextlib.contextmanager
def reading_by(course, marker):
    with open_marks(course) as store:
        yield Reading(named_course(course), book_of(course), marker, store)


def asked(reading, *requests, **also):
    """Put requests to the pages, each a path and perhaps a form; return the responses."""

    async def ask():
        listener, port = bind_unused_port()
        server = HTTPServer(make_application(reading, port, KEY))
        server.add_sockets([listener])
        headers = {"Cookie": f"marking-{port}={KEY}", **also}
        found = []
        for path, *form in requests:
            body = urllib.parse.urlencode(form[0]) if form else None
            request = HTTPRequest(
                f"http://127.0.0.1:{port}{path}", method="POST" if form else "GET", body=body,
                headers=headers, follow_redirects=False,
            )  # fmt: skip
            found.append(await AsyncHTTPClient().fetch(request, raise_error=False))
        server.stop()
        await server.close_all_connections()
        return found

    return asyncio.run(ask())


def page(reading, path):
    (response,) = asked(reading, (path,))
    assert response.code == 200
    return response.body.decode()


def token_of(text):
    return re.search(r'name="token" value="(\w+)"', text)[1]


def give(reading, place, points, **more):
    path = f"{READ}/{place}"
    form = {"token": token_of(page(reading, path)), "points": points, "comment": "", **more}
    return asked(reading, (path, form))[0]


def place_of(reading, words):
    entries = reading.entries[UNIT, "explain-1"]
    return next(place for place, one in enumerate(entries, 1) if words in one.text)


def in_book(course, student):
    with Gradebook(book_of(course)) as book:
        grade = book.find_grade("explain-1", UNIT, UNIT, student)
        comment = book.find_comment("explain-1", UNIT, UNIT, student).manual_comment
        return grade.manual_score, grade.needs_manual_grade, comment


STRANGERS = {
    "no cookie": {"Cookie": ""},
    "another key": {"Cookie": "marking=x"},
    "a name that leads here": {"Host": "stranger.example.com"},
}


@pytest.mark.parametrize("headers", STRANGERS.values(), ids=STRANGERS)
def test_nobody_else_sees_a_page_or_gives_points(course, headers):
    with reading_by(course, "one") as reading:
        form = {"points": "2", "token": "x"}
        for response in asked(reading, ("/",), (f"{READ}/1",), (f"{READ}/1", form), **headers):
            assert response.code == 403
            assert b"text" not in response.body
    assert in_book(course, "alder")[0] is None


def test_a_form_from_elsewhere_changes_nothing(course):
    with reading_by(course, "one") as reading:
        (response,) = asked(reading, (f"{READ}/1", {"points": "2", "token": "x"}))
        assert response.code == 403
        assert give(reading, 1, "99").code == 200  # asks again
        assert "Choose points first." in asked(
            reading, (f"{READ}/1", {"token": token_of(page(reading, f"{READ}/1"))})
        )[0].body.decode()  # fmt: skip
        assert reading.own(reading.entries[UNIT, "explain-1"][0]) is None


def test_the_key_in_the_address_becomes_a_cookie_that_no_other_site_can_send(course):
    with reading_by(course, "one") as reading:
        (response,) = asked(reading, (f"/?key={urllib.parse.quote(KEY)}",), Cookie="")
    assert (response.code, response.headers["Location"]) == (302, "/")
    cookie = response.headers["Set-Cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Strict" in cookie


def test_ids_are_hidden_and_the_rubric_stands_beside_the_text(course):
    with reading_by(course, "one") as reading:
        texts = [page(reading, f"{READ}/{place}") for place in range(1, 5)]
        whole = "".join(texts).casefold()
        assert not any(one in whole for one in ("alder", "bracken", "clover", "dill", "elder"))
        assert "[the writer's id]".replace("'", "&#39;") in whole
        assert all("why the length of a frame cannot stand in" in one for one in texts)
        assert asked(reading, (f"{READ}/5",), (f"{READ}/0",), ("/read/x/y/1",))[0].code == 404
        first = PageReader(texts[0]).words.replace("\xa0", " ")
        assert "Group 1 of 3: 2 texts that are alike." in first
        assert sum("2 students wrote just these words" in one for one in texts) == 1


def test_what_was_written_is_text_here_and_on_the_gradebooks_own_pages(course):
    with reading_by(course, "one") as reading:
        path = f"{READ}/{place_of(reading, 'onerror')}"
        (response,) = asked(reading, (path,))
    text = response.body.decode()
    assert "script-src 'self'" in response.headers["Content-Security-Policy"]
    assert "'unsafe" not in response.headers["Content-Security-Policy"]
    assert "[U+202E]" in text
    for shown in (text, markdown2html(as_text(HOSTILE))):
        found = PageReader(shown)
        tags = [tag for tag, _ in found.elements]
        assert "img" not in tags
        assert "h1" not in tags[tags.index("section") :][3:] if "section" in tags else True
        assert "onerror=" in found.words
        assert not any("192.0.2.1" in str(one) for _, one in found.elements)
        assert not any("javascript:" in str(one) for _, one in found.elements)
    scripts = [about for tag, about in PageReader(text).elements if tag == "script"]
    assert [one["src"] for one in scripts] == ["/marking.js"]


def test_points_reach_the_gradebook_for_all_who_wrote_the_same(course):
    with reading_by(course, "one") as reading:
        response = give(reading, place_of(reading, "No idea"), "0.5", comment="Look at <46>.")
        assert response.code == 302
    for student in ("clover", "dill"):
        assert in_book(course, student) == (0.5, False, "Look at <46>.")
    assert in_book(course, "alder")[:2] == (None, True)
    assert (course / MARKS_FILE).stat().st_mode & 0o777 == 0o600
    with reading_by(course, "one") as reading:
        (row,) = reading.rows()
        assert (row.texts, row.read) == (4, 1)


def test_a_second_marker_is_told_nothing_before_and_both_settle_what_differs(course):
    with reading_by(course, "one") as reading:
        for place in range(1, 5):
            give(reading, place, "1", comment="By the first.")
    with reading_by(course, "two") as reading:
        assert all("By the first." not in page(reading, f"{READ}/{n}") for n in range(1, 5))
        place = place_of(reading, "the frame is padded")
        give(reading, place, "2")
        assert in_book(course, "bracken") == (1.0, True, "By the first.")  # waits
        assert "Two markers differ." in page(reading, f"{READ}/{place}")
        for other in {1, 2, 3, 4} - {place}:
            give(reading, other, "1")
        (row,) = reading.rows()
        assert row.differ == (place,)
        ((one, other, agree),) = row.agree
        assert (one, other, agree.answers, agree.exact) == ("one", "two", 5, 0.8)
        assert agree.kappa == 0  # one marker gave the same to all: no more than by chance
        give(reading, place, "1.5", comment="Settled.", settle="yes")
        assert reading.rows()[0].differ == ()
    assert in_book(course, "bracken") == (1.5, False, "Settled.")


def test_what_was_marked_elsewhere_is_left_out_and_a_new_text_is_read_anew(course):
    with Gradebook(book_of(course)) as book:
        grade = book.find_grade("explain-1", UNIT, UNIT, "elder")
        grade.manual_score, grade.needs_manual_grade = 1.0, False
        book.db.commit()
    with reading_by(course, "one") as reading:
        assert reading.rows()[0].texts == 3
        give(reading, place_of(reading, "No idea"), "0")
    with_writers(course, {"dill": "An idea, after all."})
    with reading_by(course, "one") as reading:
        (row,) = reading.rows()
        assert (row.texts, row.read) == (4, 1)
        assert reading.own(reading.entries[UNIT, "explain-1"][
            place_of(reading, "after all") - 1]) is None  # fmt: skip
