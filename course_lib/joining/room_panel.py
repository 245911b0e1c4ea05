"""The panel under `join_room`: how it stands, once a second, and a button to leave."""

__all__ = ["RoomPanel"]

import threading
from typing import Any

from ipywidgets import HTML, Button, VBox

from course_lib.joining.member import Member
from course_lib.joining.messages import Report
from course_lib.joining.panel_page import panel_page, routes_page

EVERY_S = 1.0


class RoomPanel(VBox):  # type: ignore[misc]  # ipywidgets has no types
    """Shows a member until it is over. `leave` ends it, as the button and `close` do.

    member: for whoever wants to look closer, `panel.member.standing`.
    """

    def __init__(self, member: Member) -> None:
        self.member = member
        self._page, self._routes = HTML(panel_page(member.standing)), HTML("")
        self._button = Button(description="Leave the room", tooltip="End your links, and the rest")
        self._button.on_click(lambda _: self.leave())
        self._is_left = threading.Event()
        super().__init__([self._page, self._routes, self._button])
        self._watch = threading.Thread(target=self._follow, name="room panel", daemon=True)
        self._watch.start()

    def leave(self) -> None:
        """Leave the room."""
        self.member.close()
        self._is_left.set()
        if threading.current_thread() is not self._watch:
            self._watch.join()

    def close(self) -> None:
        """Leave, and take the panel away."""
        self.leave()
        super().close()

    def _follow(self) -> None:
        before: Report | None = None
        while True:
            is_last = self._is_left.wait(EVERY_S) or self.member.standing.is_over
            standing = self.member.standing
            self._page.value = panel_page(standing, before, EVERY_S)
            self._routes.value = routes_page(standing)  # sent only where it has changed
            before = standing.report
            if is_last:
                self._button.disabled = True
                return

    def _repr_keys(self) -> Any:
        return iter(())  # in words it is a panel, not a list of its parts
