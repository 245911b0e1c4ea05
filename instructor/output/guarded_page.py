"""A page that a server of ours shows to some only: what it may load, and what a stranger reads."""

__all__ = ["GuardedPage"]

from typing import Any, ClassVar

from tornado.web import RequestHandler


class GuardedPage(RequestHandler):
    """What all pages of one server have in common; who may see them is for `prepare` to say.

    policy: its Content-Security-Policy. for_whom: the sentence that whoever is refused reads.
    """

    policy: ClassVar[str]
    for_whom: ClassVar[str]

    def set_default_headers(self) -> None:
        """Let the page load nothing but its own, and nobody keep it."""
        self.set_header("Content-Security-Policy", self.policy)
        self.set_header("X-Content-Type-Options", "nosniff")
        self.set_header("Referrer-Policy", "no-referrer")
        self.set_header("Cache-Control", "no-store")

    def write_error(self, status_code: int, **_: Any) -> None:
        """Refuse in words, and tell nothing of what is inside."""
        self.set_header("Content-Type", "text/plain; charset=utf-8")
        words = self.for_whom if status_code == 403 else "There is no such page."
        self.finish(f"{words}\n")
