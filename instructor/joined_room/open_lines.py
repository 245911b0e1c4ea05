"""The WebSockets that an application has open, so that none is left when it ends.

A WebSocket that is closed waits some seconds for the other side's last word (RFC 6455, section
7.1.1), and an event loop that ends meanwhile would leave its socket to the garbage.
"""

__all__ = ["hang_up_all", "note_line"]

from weakref import WeakSet

from tornado.iostream import IOStream
from tornado.web import Application
from tornado.websocket import WebSocketHandler

_KEPT = "open lines"  # among the settings of an application


def note_line(handler: WebSocketHandler) -> None:
    """Take note of a line that has just been opened."""
    lines = handler.application.settings.setdefault(_KEPT, WeakSet[IOStream]())
    if handler.ws_connection is not None:
        lines.add(handler.ws_connection.stream)


def hang_up_all(application: Application) -> None:
    """Close all that are open, and wait for nobody's answer."""
    for line in [*application.settings.get(_KEPT, ())]:
        line.close()
