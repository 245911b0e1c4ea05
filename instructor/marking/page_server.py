"""Serve the pages for marking to this machine alone, and to whoever has this session's key.

It listens on 127.0.0.1. The key is in the address that is printed; after that it is a cookie which
no other site's page can send. A request that names another host is refused (so no name of a
stranger's can be made to lead here), and so is a form without the session's own token. Nothing on
the pages comes from elsewhere, and what students wrote is escaped text: the policy of the pages
lets no script run but the one that listens to keys.
"""

__all__ = ["make_application", "serve"]

import asyncio
import hmac
import secrets
from collections.abc import Callable
from pathlib import Path

from tornado.httpserver import HTTPServer
from tornado.netutil import bind_sockets
from tornado.web import Application, HTTPError

from instructor.marking import pages
from instructor.marking.reading import Entry, Reading
from instructor.output.guarded_page import GuardedPage

HOST = "127.0.0.1"
POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; form-action 'self'; "
    "base-uri 'none'; frame-ancestors 'none'"
)
LONGEST_COMMENT = 4000  # characters


def serve(reading: Reading, announce: Callable[[str], None]) -> None:
    """Serve until somebody stops it (Ctrl-C); `announce` is told the address with its key."""
    asyncio.run(_serve(reading, announce))


async def _serve(reading: Reading, announce: Callable[[str], None]) -> None:
    (listener,) = bind_sockets(0, HOST)
    port = listener.getsockname()[1]
    key = secrets.token_urlsafe(32)
    server = HTTPServer(make_application(reading, port, key))
    server.add_sockets([listener])
    announce(f"http://{HOST}:{port}/?key={key}")
    try:
        await asyncio.Event().wait()
    finally:
        server.stop()
        await server.close_all_connections()


def make_application(reading: Reading, port: int, key: str) -> Application:
    """Return the pages as an application for one session with this key on this port."""
    about = {"reading": reading, "port": port, "key": key}
    place = r"/read/([^/]+)/([^/]+)/(\d+)"
    return Application(
        [
            (r"/", _Overview, about),
            (place, _Answer, about),
            (r"/(marking\.css|marking\.js)", _Beside, about),
        ],
        default_handler_class=_Nowhere,
        default_handler_args=about,
        compress_response=False,
    )


class _Page(GuardedPage):
    """What all pages have in common: who may see them, and what they may load."""

    policy = POLICY
    for_whom = (
        "This page is for whoever started `hopbyhop mark-words`: open the address that it printed."
    )

    def initialize(self, reading: Reading, port: int, key: str) -> None:
        self.reading, self._port, self._key = reading, port, key

    @property
    def form_token(self) -> str:
        """Return what a form must send back; it tells nobody the key."""
        return hmac.new(self._key.encode(), b"form", "sha256").hexdigest()

    def prepare(self) -> None:
        if self.request.host != f"{HOST}:{self._port}":
            raise HTTPError(403)
        cookie = f"marking-{self._port}"
        given = self.get_query_argument("key", "")
        if given and hmac.compare_digest(given.encode(), self._key.encode()):
            self.set_cookie(cookie, self._key, httponly=True, samesite="Strict", path="/")
            self.redirect("/")
        elif not hmac.compare_digest((self.get_cookie(cookie) or "").encode(), self._key.encode()):
            raise HTTPError(403)


class _Nowhere(_Page):
    def get(self) -> None:
        raise HTTPError(404)


class _Overview(_Page):
    def get(self) -> None:
        self.write(pages.overview(self.reading))


class _Beside(_Page):
    """Hand out the style and the script of the pages."""

    def get(self, name: str) -> None:
        kind = "text/css" if name.endswith(".css") else "text/javascript"
        self.set_header("Content-Type", f"{kind}; charset=utf-8")
        folder = Path(__file__).parent / "screens"
        text = (folder / name).read_text(encoding="utf-8")
        self.write(pages.common_style() + text if kind == "text/css" else text)


class _Answer(_Page):
    """One text, and the form for its points."""

    def get(self, unit: str, cell: str, place: str) -> None:
        entries, number = self._entries(unit, cell, place)
        self.write(pages.answer_page(self.reading, entries, number, self.form_token))

    def post(self, unit: str, cell: str, place: str) -> None:
        entries, number = self._entries(unit, cell, place)
        if not hmac.compare_digest(self.get_body_argument("token", "").encode(),
                                   self.form_token.encode()):  # fmt: skip
            raise HTTPError(403)
        entry = entries[number - 1]
        points = self._points(entry)
        if points is None:
            problem = "Choose points first."
            self.write(pages.answer_page(self.reading, entries, number, self.form_token, problem))
            return
        comment = self.get_body_argument("comment", "")[:LONGEST_COMMENT].replace("\r\n", "\n")
        settle = self.get_body_argument("settle", "") == "yes"
        self.reading.give(entry, points, comment.strip(), settle=settle)
        stays = self.reading.differs(entry)  # then it is settled at once, or later
        self.redirect(f"/read/{unit}/{cell}/{number}" if stays else self._next(entries, number))

    def _next(self, entries: tuple[Entry, ...], number: int) -> str:
        """Return the next text that this marker has not read, else the overview."""
        order = [*range(number + 1, len(entries) + 1), *range(1, number)]
        question = entries[0].question
        for one in order:
            if self.reading.own(entries[one - 1]) is None:
                return f"/read/{question.unit}/{question.cell}/{one}"
        return "/"

    def _points(self, entry: Entry) -> float | None:
        try:
            points = float(self.get_body_argument("points", ""))
        except ValueError:
            return None
        return points if points in pages.choices(entry.question.of) else None

    def _entries(self, unit: str, cell: str, place: str) -> tuple[tuple[Entry, ...], int]:
        entries = self.reading.entries.get((unit, cell), ())
        number = int(place[:9])  # a longer one is none either
        if not 1 <= number <= len(entries):
            raise HTTPError(404)
        return entries, number
