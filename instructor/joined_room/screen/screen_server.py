"""Hand the screen to this machine's own browser, keep it up to date, and take its wishes.

Whoever runs a room mounts `screen_handlers` in a Tornado application, which may well listen to the
whole room. So each request is looked at: it must come from this machine itself, and name it as its
host (no name of a stranger's can be made to lead here). A WebSocket must also be opened by the page
itself, and not by one of another site. The page loads nothing from elsewhere, and runs no script
but its own.

At `/screen/updates` go JSON lines: a `RoomView` four times a second, or `{"refused": "why"}`; back
come wishes, such as `{"wish": "pull", "link": 3}`.
"""

__all__ = ["ADDRESS", "RoomShown", "screen_handlers"]

import ipaddress
import json
from collections.abc import Awaitable
from pathlib import Path
from typing import Any, Protocol
from urllib.parse import urlsplit

from tornado.ioloop import PeriodicCallback
from tornado.iostream import StreamClosedError
from tornado.web import HTTPError, RequestHandler
from tornado.websocket import WebSocketClosedError, WebSocketHandler

from course_lib.figures.drawing.palette import DARK, LIGHT, Theme
from instructor.joined_room.open_lines import note_line
from instructor.joined_room.room_view import RoomView
from instructor.joined_room.screen.screen_wishes import Wish, WishError, read_wish
from instructor.output.guarded_page import GuardedPage

ADDRESS = "/screen"
EVERY_MS = 250
LONGEST_WISH = 1000  # octets
OUR_NAMES = frozenset({"127.0.0.1", "localhost", "::1"})
POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; connect-src 'self'; img-src data:; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
PAGE = Path(__file__).parent / "page"
KINDS = {".html": "text/html", ".css": "text/css", ".js": "text/javascript"}


class RoomShown(Protocol):
    """A room, as the screen wants it."""

    def view(self) -> RoomView:
        """Return what is to be seen now."""

    def wish(self, wish: Wish) -> None:
        """Do what the instructor wishes; raise `WishError` if that cannot be."""


def screen_handlers(room: RoomShown) -> list[tuple[str, type[RequestHandler], dict[str, Any]]]:
    """Return what a Tornado application needs to serve the screen of this room."""
    about = {"room": room}
    return [
        (ADDRESS, _Page, {}),
        (rf"{ADDRESS}/updates", _Updates, about),
        (rf"{ADDRESS}/(colours\.css|[a-z_]+\.(?:css|js))", _Beside, {}),
    ]


def _refuse_strangers(handler: RequestHandler) -> None:
    """Raise a 403 unless this machine asks, and asks for itself."""
    address = ipaddress.ip_address((handler.request.remote_ip or "0.0.0.0").partition("%")[0])
    mapped = getattr(address, "ipv4_mapped", None)
    name = urlsplit(f"//{handler.request.host}").hostname
    if not (mapped or address).is_loopback or name not in OUR_NAMES:
        raise HTTPError(403)


class _Guarded(GuardedPage):
    """What the page and all beside it have in common."""

    policy = POLICY
    for_whom = (
        "The screen opens on the instructor's own machine only: by 127.0.0.1, in a browser there."
    )

    def prepare(self) -> None:
        _refuse_strangers(self)


class _Page(_Guarded):
    def get(self) -> None:
        self.set_header("Content-Type", "text/html; charset=utf-8")
        self.finish((PAGE / "screen.html").read_bytes())


class _Beside(_Guarded):
    """Hand out scripts, the style, and the colours of all figures."""

    def get(self, name: str) -> None:
        path = PAGE / name
        if name != "colours.css" and not path.is_file():
            raise HTTPError(404)
        self.set_header("Content-Type", f"{KINDS[path.suffix]}; charset=utf-8")
        self.finish(_colours() if name == "colours.css" else path.read_bytes())


class _Updates(WebSocketHandler):
    """One open screen: views go there, wishes come back."""

    def initialize(self, room: RoomShown) -> None:
        self._room = room
        self._timer = PeriodicCallback(self._show, EVERY_MS)

    def prepare(self) -> None:
        _refuse_strangers(self)

    def check_origin(self, origin: str) -> bool:
        return urlsplit(origin).netloc.lower() == self.request.host.lower()

    def get(self, *args: Any, **kwargs: Any) -> Awaitable[None]:  # type: ignore[override]
        if "Origin" not in self.request.headers:  # Tornado would let in who sends none
            raise HTTPError(403)
        return super().get(*args, **kwargs)

    async def open(self, *_: str, **__: str) -> None:
        note_line(self)
        self._timer.start()
        await self._show()

    async def on_message(self, message: str | bytes) -> None:
        try:
            if len(message) > LONGEST_WISH:
                raise WishError(f"a wish has {LONGEST_WISH} octets at most")
            self._room.wish(read_wish(message, self._room.view()))
        except WishError as problem:
            await self._say({"refused": str(problem)})
        await self._show()

    def on_close(self) -> None:
        self._timer.stop()

    async def _show(self) -> None:
        await self._say(self._room.view().to_plain())

    async def _say(self, plain: dict[str, Any]) -> None:
        try:
            await self.write_message(json.dumps(plain, separators=(",", ":")))
        except (WebSocketClosedError, StreamClosedError):
            self._timer.stop()  # the page was closed meanwhile


def _colours() -> str:
    """Return the colours as properties of the page: by what the machine prefers, or as chosen."""
    light, dark = _properties(LIGHT, "light"), _properties(DARK, "dark")
    return (
        f":root{{{light}}}\n@media (prefers-color-scheme: dark){{:root{{{dark}}}}}\n"
        f":root[data-light=on]{{{light}}}\n:root[data-light=off]{{{dark}}}\n"
    )


def _properties(theme: Theme, scheme: str) -> str:
    words = "".join(f"--{name}:{colour};" for name, colour in theme._asdict().items())
    return f"{words}color-scheme:{scheme};"
