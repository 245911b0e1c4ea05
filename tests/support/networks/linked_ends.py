"""Two ends of a link, and a network between them that does what a test says."""

import hashlib
import math
from collections.abc import Callable
from dataclasses import dataclass

from course_lib.links.link_end import LinkEnd
from course_lib.links.terms import Address, LinkTerms

SECRET = bytes(range(32))
PLACES: tuple[Address, Address] = (("192.0.2.1", 5000), ("192.0.2.2", 5001))


@dataclass(frozen=True)
class Passing:
    """A datagram on its way: which end sent it, from where, and where to."""

    sender: int
    origin: Address
    target: Address
    octets: bytes


Fate = Callable[[Passing], list[Passing]]


def as_it_is(passing: Passing) -> list[Passing]:
    return [passing]


class LinkedEnds:
    """Two ends; what they send arrives at once, through `fate`, and is kept in `seen`."""

    def __init__(self, secrets: tuple[bytes, bytes] = (SECRET, SECRET), **terms) -> None:
        self.now_s, self.fate, self.seen = 0.0, as_it_is, []
        self.places = list(PLACES)
        self.frames: tuple[list[bytes], list[bytes]] = ([], [])  # that came out at each end
        self._secrets, self._terms, self._made = secrets, terms, 0
        self.ends: list[LinkEnd] = []
        for end in (0, 1):
            self.ends.append(self.new_end(end))

    def new_end(self, end: int) -> LinkEnd:
        """Return an end that begins now; nothing is drawn twice."""
        self._made += 1
        drawn = hashlib.sha256(f"{id(self)} {self._made}".encode()).digest()
        port, other = self.places[end][1], PLACES[1 - end]
        terms = LinkTerms(7, end, port, **{"addresses": (other,), **self._terms})
        return LinkEnd(terms, self._secrets[end], drawn, self.now_s)

    def start_anew(self, end: int) -> None:
        self.ends[end] = self.new_end(end)

    def send(self, end: int, frame: bytes) -> None:
        datagram = self.ends[end].send(self.now_s, frame)
        self._pass_on(end, [datagram] if datagram else [])

    def throw_in(self, end: int, datagram: bytes, origin: Address | None = None) -> list[bytes]:
        """Let an end get a datagram from somebody; return the frames that it takes from it."""
        frame = self.ends[end].receive(self.now_s, origin or PLACES[1 - end], datagram)
        came = [] if frame is None else [frame]
        self.frames[end].extend(came)
        return came

    def run(self, for_s: float, awake: tuple[int, ...] = (0, 1)) -> None:
        """Let time pass: ticks at their times, at the ends that are awake."""
        stop_s = self.now_s + for_s
        while True:
            due = [(self.ends[end].next_tick_s(self.now_s), end) for end in awake]
            due_s, end = min(due)
            if due_s > stop_s or math.isinf(due_s):
                break
            self.now_s = max(self.now_s, due_s)
            self._pass_on(end, self.ends[end].tick(self.now_s), awake)
        self.now_s = stop_s
        for end in awake:  # as a program that looks at its clock
            self._pass_on(end, self.ends[end].tick(self.now_s), awake)

    def are_up(self) -> bool:
        return all(end.is_up for end in self.ends)

    def _pass_on(self, sender: int, datagrams, awake=(0, 1)) -> None:
        for target, octets in datagrams:
            passing = Passing(sender, self.places[sender], target, octets)
            self.seen.append(passing)
            for each in self.fate(passing):
                if each.target == self.places[1 - sender] and 1 - sender in awake:
                    self.throw_in(1 - sender, each.octets, each.origin)
