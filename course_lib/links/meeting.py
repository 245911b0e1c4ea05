"""How two ends find to a session, and why nobody can do that for them with what is recorded.

Each end has an *epoch* at hand, drawn by chance and never used. It sends hellos with it.

    end 0                                        end 1
      hello: I am at A                ------->     anybody may have kept this
                                      <-------   hello: I am at B, and have heard A
    B is of now: A was drawn just now
      hello: I am at A, and heard B   ------->   A is of now: B was drawn just now
      sealed in the session of A, B   ------->   it opens, so end 0 is there: use the session
                                      <-------   sealed in the session of A, B
    it opens: use the session

* A hello that does not name our epoch changes nothing. It is answered, once a second at most for
  each epoch; so replays cost little, and do not hold up the genuine one. An answer is told apart
  from a first hello, and gets none: so what somebody had kept cannot make two ends meet anew.
* One that does makes a *candidate*. It becomes the session with the first datagram that opens in
  it; until then the session of before goes on. So nobody can stop a link that works.
* With that, both epochs are used up and the next are drawn. A session can't come again, and what
  was recorded in it opens nowhere. An epoch of the other end that was used up is ignored.

An end that starts anew, or has slept, comes in by the same door.
"""

__all__ = ["Meeting"]

from collections import OrderedDict
from typing import NamedTuple, TypeVar

from course_lib.links.datagrams import (
    HELLO_OCTETS,
    NO_EPOCH,
    SEALED_HEAD_OCTETS,
    Hello,
    read_hello,
    write_hello,
)
from course_lib.links.session import (
    Session,
    first_epoch,
    hello_keys,
    link_key,
    next_epoch,
    public_epoch,
)

K = TypeVar("K")
V = TypeVar("V")

ANSWER_EVERY_S = 1.0
MOST_CANDIDATES = 4
MOST_REMEMBERED = 256  # epochs of the other end


class Took(NamedTuple):
    """What came of a hello: an answer to send, and a candidate to send something in."""

    answer: bytes | None = None
    candidate: Session | None = None
    is_forged: bool = False
    is_replayed: bool = False


class Meeting:
    """The hellos of one end, and the sessions that may come of them."""

    def __init__(self, secret: bytes, number: int, end: int, drawn: bytes) -> None:
        self._key = link_key(secret, number)
        keys = hello_keys(self._key)
        self._end, self._own_key, self._other_key = end, keys[end], keys[1 - end]
        self._epoch = first_epoch(drawn)
        self._public = public_epoch(self._epoch)
        self._heard = NO_EPOCH
        self._candidates = OrderedDict[bytes, Session]()  # by name
        self._used = OrderedDict[bytes, None]()
        self._answered = OrderedDict[tuple[bytes, bool], float]()

    def hello(self) -> bytes:
        """Return the hello of now."""
        return self._hello(self._heard, is_answer=False)

    def take(self, now_s: float, datagram: bytes) -> Took:
        """Take a hello in; return what came of it."""
        hello = read_hello(datagram, self._other_key) if len(datagram) == HELLO_OCTETS else None
        if hello is None or hello.end != 1 - self._end:
            return Took(is_forged=True)
        if hello.epoch in self._used:
            return Took(is_replayed=True)
        is_of_now = hello.heard == self._public
        if hello.is_answer and not is_of_now:
            return Took(is_replayed=True)  # it answers somebody else, or what somebody had kept
        candidate = self._candidate(hello.epoch) if is_of_now else None
        if is_of_now and candidate is None:
            return Took(is_forged=True)
        self._heard = hello.epoch
        if not self._is_to_answer(now_s, hello.epoch, is_of_now):
            return Took()
        return Took(self._hello(hello.epoch, is_answer=True), candidate)

    def candidate(self, datagram: bytes) -> Session | None:
        """Return the candidate that a sealed datagram names, None if there is none."""
        return self._candidates.get(datagram[1:SEALED_HEAD_OCTETS])

    def use(self, session: Session) -> None:
        """Take note that a candidate has become the session: its epochs are used up."""
        _remember(self._used, session.other_epoch, None)
        self._candidates.clear()
        self._heard = NO_EPOCH
        self._epoch = next_epoch(self._epoch)
        self._public = public_epoch(self._epoch)

    def _hello(self, heard: bytes, *, is_answer: bool) -> bytes:
        return write_hello(Hello(self._end, self._public, heard, is_answer), self._own_key)

    def _candidate(self, epoch: bytes) -> Session | None:
        """Return the candidate with this epoch: the one that is there, or a new one."""
        for session in self._candidates.values():
            if session.other_epoch == epoch:
                return session
        try:
            session = Session(self._key, self._end, self._epoch, epoch)
        except ValueError:
            return None  # an epoch that no honest end draws
        _remember(self._candidates, session.name, session, MOST_CANDIDATES)
        return session

    def _is_to_answer(self, now_s: float, epoch: bytes, is_of_now: bool) -> bool:
        last_s = self._answered.get((epoch, is_of_now))
        if last_s is not None and now_s < last_s + ANSWER_EVERY_S:
            return False
        _remember(self._answered, (epoch, is_of_now), now_s)
        return True


def _remember(table: OrderedDict[K, V], key: K, value: V, most: int = MOST_REMEMBERED) -> None:
    """Enter something, and forget what was entered first if that is too much."""
    table[key] = value
    table.move_to_end(key)
    while len(table) > most:
        table.popitem(last=False)
