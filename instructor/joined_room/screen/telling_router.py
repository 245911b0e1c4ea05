"""A router of a rehearsal: the library's, and of packets that are followed it tells its verdict."""

__all__ = ["TellingRouter"]

from collections.abc import Callable, Sequence

from course_lib.forwarding.router import Router
from course_lib.ip.packets import Interface, OutgoingFrame
from course_lib.joining.piers.passed_packet import is_between
from course_lib.tracing.journey import follow
from course_lib.tracing.steps import Journey


class TellingRouter(Router):
    """Does what the library's router does. followed: the ends of the packets that are followed now.

    tell: is told the journey of each of them through this router.
    """

    def __init__(
        self,
        name: str,
        interfaces: Sequence[Interface],
        followed: Callable[[], bytes],
        tell: Callable[[Journey], None],
    ) -> None:
        super().__init__(name, interfaces)
        self._followed, self._tell, self._is_telling = followed, tell, False

    def receive(self, now_s: float, interface: str, frame: bytes) -> list[OutgoingFrame]:
        """Take a frame in, and tell what becomes of it if it is followed."""
        if self._is_telling or not is_between(frame, self._followed()):
            return super().receive(now_s, interface, frame)
        self._is_telling = True  # `follow` has this router receive it
        try:
            journey = follow(self, now_s, interface, frame)
        finally:
            self._is_telling = False
        self._tell(journey)
        return list(journey.sent)
