"""What routing protocols tell each other and learn, written down as it happens.

A `Witness` stands before a protocol, hands every call on, and notes what was sent and what the
routing table was afterwards. `talk_of` makes of all notes what can be shown: messages with the
times at which they left and came, tables with the times at which they changed, and moments worth
a look: whenever somebody has answered what was told in the moment before.

Left out are hellos, requests, acknowledgements, and distance-vector updates from which nobody
learned anything. What link-state routers flood is all there.
"""

__all__ = [
    "Learned",
    "Line",
    "Note",
    "Table",
    "Talk",
    "Travel",
    "Witness",
    "last_news_s",
    "talk_of",
]

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from course_lib.routing.distance_vector import DistanceVector
from course_lib.routing.distance_vector_messages import INFINITY, Update
from course_lib.routing.flooding import LinkStateUpdate
from course_lib.routing.link_state import LinkState
from course_lib.routing.protocol import NextHop, Outgoing

_ANSWER_S = 0.01  # what is told later than this after all has arrived is no answer to it


class Line(NamedTuple):
    """A line of a routing table: how far, and which neighbours may be next; none: one's own."""

    metric: int
    next_hops: tuple[str, ...]


Table = Mapping[Any, Line]


class Note(NamedTuple):
    """One call of a protocol: what was heard on which link, what it sent, and its table then."""

    time_s: float
    place: str
    heard: tuple[int, str] | None  # which message, and on which link
    sent: tuple[Outgoing, ...]
    table: Table
    has_learned: bool


class Travel(NamedTuple):
    """A message under way; `arrives_s` is infinite if it never arrives."""

    origin: str
    target: str
    leaves_s: float
    arrives_s: float
    words: str

    @property
    def is_lost(self) -> bool:
        """Tell whether it never arrives."""
        return self.arrives_s == math.inf


class Learned(NamedTuple):
    """The table of a router from a time on."""

    time_s: float
    place: str
    table: Table


class Talk(NamedTuple):
    """All that was told and learned from a time on, and the tables before it."""

    before: Mapping[str, Table]
    travels: tuple[Travel, ...]
    learned: tuple[Learned, ...]
    moments_s: tuple[float, ...]

    def tables_at(self, time_s: float) -> dict[str, Table]:
        """Return the tables of all routers at a time, with what happens then."""
        news = {each.place: each.table for each in self.learned if each.time_s <= time_s}
        return {**self.before, **news}


class Witness:
    """A protocol that is watched: the calls of `RoutingProtocol`, each written into `notes`."""

    def __init__(
        self, place: str, protocol: DistanceVector[Any] | LinkState[Any], notes: list[Note]
    ) -> None:
        self._place, self._protocol, self._notes = place, protocol, notes
        self._reachable: Table = {}
        self.next_tick_s = protocol.next_tick_s
        self.routes = protocol.routes

    def start(self, now_s: float) -> list[Outgoing]:
        """Begin."""
        return self._note(now_s, self._protocol.start(now_s))

    def receive(self, now_s: float, message: object, link: str) -> list[Outgoing]:
        """Take in a message."""
        sent = self._protocol.receive(now_s, message, link)
        return self._note(now_s, sent, (id(message), link))

    def tick(self, now_s: float) -> list[Outgoing]:
        """Do what is due."""
        return self._note(now_s, self._protocol.tick(now_s))

    def link_down(self, now_s: float, link: str) -> list[Outgoing]:
        """Take note of a cut."""
        return self._note(now_s, self._protocol.link_down(now_s, link))

    def link_up(self, now_s: float, link: str) -> list[Outgoing]:
        """Take note that a link works again."""
        return self._note(now_s, self._protocol.link_up(now_s, link))

    def _note(
        self, now_s: float, sent: list[Outgoing], heard: tuple[int, str] | None = None
    ) -> list[Outgoing]:
        table = _table_of(self._protocol)
        reachable = {d: line for d, line in table.items() if line.metric < INFINITY}
        learned, self._reachable = reachable != self._reachable, reachable
        # Messages are kept here, so that no later one can have the same id.
        self._notes.append(Note(now_s, self._place, heard, tuple(sent), table, learned))
        return sent


def last_news_s(notes: Sequence[Note]) -> float:
    """Return when somebody last learned something or flooded."""
    return max((n.time_s for n in notes if n.has_learned or _flooded(n)), default=-math.inf)


def talk_of(
    notes: Sequence[Note],
    since_s: float,
    ends: Mapping[str, tuple[str, str]],
    in_words: Callable[[object], str],
) -> Talk:
    """Return what was told and learned from `since_s` on, in times that count from then.

    ends: the two routers of each link. in_words: what a message says.
    """
    before = {note.place: note.table for note in notes if note.time_s < since_s}
    notes = [note for note in notes if note.time_s >= since_s]
    hearers = {(*note.heard, note.place): note for note in notes if note.heard is not None}
    travels: dict[_Key, Travel] = {}
    learned, moments_s, just_told = [], list[float](), set[_Key]()
    for note in notes:
        time_s = note.time_s - since_s
        told = {
            key: Travel(note.place, key.target, time_s, came_s - since_s, in_words(out.message))
            for key, out, came_s in _news_of(note, ends, hearers)
        }
        heard = None if note.heard is None else _Key(*note.heard, note.place)
        if note.has_learned:
            learned.append(Learned(time_s, note.place, note.table))
        elif not told and heard not in travels:
            continue
        if not moments_s or heard in just_told or time_s > moments_s[-1] + _ANSWER_S:
            moments_s.append(time_s)
            just_told = set()
        moments_s[-1] = time_s
        just_told |= told.keys()
        travels |= told
    return Talk(before, tuple(travels.values()), tuple(learned), tuple(moments_s))


class _Key(NamedTuple):
    """A message on one link, and who is to hear it."""

    message: int
    link: str
    target: str


def _news_of(
    note: Note, ends: Mapping[str, tuple[str, str]], hearers: Mapping[tuple[int, str, str], Note]
) -> Iterator[tuple[_Key, Outgoing, float]]:
    """Yield the messages of a note that are worth a look, and when they come."""
    keys = [
        _Key(id(out.message), out.link, next(e for e in ends[out.link] if e != note.place))
        for out in note.sent
    ]
    somebody_learns = any(key in hearers and hearers[key].has_learned for key in keys)
    for key, out in zip(keys, note.sent, strict=True):
        if isinstance(out.message, LinkStateUpdate) or (
            isinstance(out.message, Update) and somebody_learns
        ):
            yield key, out, hearers[key].time_s if key in hearers else math.inf


def _flooded(note: Note) -> bool:
    return any(isinstance(out.message, LinkStateUpdate) for out in note.sent)


def _table_of(protocol: DistanceVector[Any] | LinkState[Any]) -> dict[Any, Line]:
    """Return what a protocol believes; distance vector tells also what it holds unreachable."""
    if isinstance(protocol, DistanceVector):
        return {
            destination: Line(entry.metric, _names([entry.next_hop]))
            for destination, entry in protocol.table().items()
        }
    routes = protocol.routes().items()
    return {
        destination: Line(route.metric, _names(route.next_hops)) for destination, route in routes
    }


def _names(next_hops: Iterable[NextHop | None]) -> tuple[str, ...]:
    return tuple(sorted(hop.router for hop in next_hops if hop is not None and hop.router))
