"""One end of a link: frames go in, datagrams come out, and the other way round.

It reads no clock, opens no socket and draws no chance: it is told the time, what came from where,
and 32 octets that were drawn for it. Whoever has the socket does this:

    end = LinkEnd(terms, room_secret(code), secrets.token_bytes(32), now_s)
    datagram = end.send(now_s, frame)                   # a frame of the router
    frame = end.receive(now_s, address, octets)         # a datagram from the socket
    for address, octets in end.tick(now_s): ...         # at next_tick_s: hellos, keep-alives

The first two give None if nothing came of it.

A frame is sent whole or not at all. One that is longer than the link carries is counted and
refused, as is one for which the rate leaves no room: a link loses frames, and routers know that.
Nothing is sent to addresses other than those of the terms (`other_machine`), and nothing that comes
in is believed before it has opened in a session of now (`meeting`).
"""

__all__ = ["LinkEnd"]

import math
from collections import deque
from dataclasses import replace

from course_lib.headers.ethernet import ETHERNET_OCTETS
from course_lib.links.counters import LinkCounters
from course_lib.links.datagrams import (
    ANSWERING_HELLO,
    HELLO,
    OVERHEAD_OCTETS,
    SEALED,
    Content,
    OuterDatagram,
)
from course_lib.links.meeting import MOST_REMEMBERED, Meeting
from course_lib.links.other_machine import OtherMachine
from course_lib.links.rate_limit import RateLimit
from course_lib.links.sealing import ForgedError, ReplayedError
from course_lib.links.session import Session
from course_lib.links.terms import Address, LinkTerms, TermsError, frame_octets

HELLO_EVERY_S = 1.0
SILENT_AFTER = 3  # keep-alives that nobody answered
MOST_ANSWERS = 2 * MOST_REMEMBERED  # that wait for the next tick: room for each that is due
_OUTER_OCTETS = 28  # headers of IPv4 and UDP in front of each datagram
_TICKS_PER_S, _TIME_OCTETS = 1_000_000, 8
_LONGEST_ROUND_TRIP_S = 60.0
_SEALED, _HELLOS = bytes((SEALED,)), (bytes((HELLO,)), bytes((ANSWERING_HELLO,)))
_FRAME, _ASK, _ANSWER = (bytes((kind,)) for kind in Content)


class LinkEnd:
    """One end. drawn: 32 octets by chance, which no other end may get, not even this one again.

    longest_datagram: octets; what is longer is not from the other end.
    """

    def __init__(self, terms: LinkTerms, secret: bytes, drawn: bytes, now_s: float) -> None:
        self._go_by(terms)
        self._meeting = Meeting(secret, terms.number, terms.end, drawn)
        self._machine = OtherMachine(terms)
        self._limit = RateLimit(terms.rate_bits_per_s, now_s)
        self._counters = LinkCounters()
        self._before = (0, 0)  # lost and reordered in the sessions that are over
        self._session: Session | None = None
        self._is_pulled = False
        self._answers = deque[OuterDatagram]()
        # A clock that is set back undoes nothing: this is the latest time that was ever told.
        self._now_s = self._hello_s = self._ask_s = now_s
        self._silent_s = -math.inf

    # ---- what it is, and what is told to it

    @property
    def is_up(self) -> bool:
        """Whether frames go through now: not pulled, and the other end was heard lately."""
        return not self._is_pulled and self._session is not None and self._now_s < self._silent_s

    @property
    def address(self) -> Address | None:
        """Where the other machine spoke from last, None if it has not been heard there."""
        return self._machine.current

    def counters(self) -> LinkCounters:
        """Return what has been counted so far."""
        (lost, reordered), window = self._before, self._session and self._session.window
        if window:
            lost, reordered = lost + window.lost, reordered + window.late
        return replace(self._counters, lost=lost, reordered=reordered)

    def take_down(self) -> None:
        """Pull the link out at this end: no frame goes in or out. The session stays."""
        self._is_pulled = True

    def bring_up(self) -> None:
        """Put the link in again."""
        self._is_pulled = False

    def change_terms(self, terms: LinkTerms) -> None:
        """Go by other terms from now on; raises `TermsError` for those of another link."""
        if (terms.number, terms.end) != (self.terms.number, self.terms.end):
            raise TermsError(
                f"end {self.terms.end} of link {self.terms.number} cannot become "
                f"end {terms.end} of link {terms.number}; make a new one"
            )
        if terms.rate_bits_per_s != self.terms.rate_bits_per_s:
            self._limit = RateLimit(terms.rate_bits_per_s, self._now_s)
        if terms.addresses != self.terms.addresses:
            self._hello_s = self._now_s  # it is not heard there yet, perhaps
        self._go_by(terms)
        self._machine.change_terms(terms)

    # ---- frames and datagrams

    def send(self, now_s: float, frame: bytes) -> OuterDatagram | None:
        """Take a frame of the router; return the datagram that is to be sent, if any."""
        if now_s > self._now_s:
            self._now_s = now_s
        counters, session, address = self._counters, self._session, self._machine.current
        octets, is_up = len(frame), self._now_s < self._silent_s and not self._is_pulled
        if octets > self._longest:
            counters.too_large += 1
        elif not is_up or session is None or address is None:
            counters.not_up += 1
        elif not self._limit.allows(self._now_s, octets + OVERHEAD_OCTETS + _OUTER_OCTETS):
            counters.refused_by_rate += 1
        else:
            counters.frames_out += 1
            counters.octets_out += octets
            return address, session.sealer.seal(_FRAME + frame)
        return None

    def receive(self, now_s: float, from_address: Address, datagram: bytes) -> bytes | None:
        """Take a datagram; return the frame in it, if there is one. Answers wait for the tick."""
        if now_s > self._now_s:
            self._now_s = now_s
        machine = self._machine
        if from_address != machine.current and not machine.may_be_at(from_address):
            self._counters.strangers += 1
            return None
        if datagram.startswith(_SEALED):
            return self._take_sealed(from_address, datagram)
        if datagram.startswith(_HELLOS):
            self._take_hello(from_address, datagram)
        else:
            self._counters.forged += 1
        return None

    def tick(self, now_s: float) -> list[OuterDatagram]:
        """Return what is due: answers, hellos to an end that is not heard, keep-alives."""
        now_s = self._now_s = max(self._now_s, now_s)
        out = [each for each in self._answers if self._machine.may_be_at(each[0])]
        self._answers.clear()
        if self._is_unheard and now_s >= self._hello_s:
            self._hello_s = now_s + HELLO_EVERY_S
            hello = self._meeting.hello()
            out += [(address, hello) for address in self._machine.wherever()]
        if self._session is not None and now_s >= self._ask_s:
            self._ask_s = now_s + self.terms.keep_alive_s
            if self._machine.current is not None:
                out.append(self._asked(self._session, self._machine.current))
        return out

    def next_tick_s(self, now_s: float) -> float:
        """Return when `tick` is wanted next."""
        if self._answers:
            return now_s
        hello_s = self._hello_s if self._is_unheard else self._silent_s
        return hello_s if self._session is None else min(hello_s, self._ask_s)

    # ---- inside

    @property
    def _is_unheard(self) -> bool:
        return self._session is None or self._now_s >= self._silent_s

    def _take_hello(self, address: Address, datagram: bytes) -> None:
        took = self._meeting.take(self._now_s, datagram)
        self._counters.forged += took.is_forged
        self._counters.replayed += took.is_replayed
        if took.answer is not None:
            self._answer(address, took.answer)
        if took.candidate is not None:
            self._answer(*self._asked(took.candidate, address))

    def _go_by(self, terms: LinkTerms) -> None:
        self.terms, self._longest = terms, frame_octets(terms)
        self.longest_datagram = self._longest + OVERHEAD_OCTETS
        self._patience_s = SILENT_AFTER * terms.keep_alive_s

    def _take_sealed(self, address: Address, datagram: bytes) -> bytes | None:
        session, machine = self._session, self._machine
        if session is None or not datagram.startswith(session.head):
            session = self._meeting.candidate(datagram)
            if session is None:
                self._counters.outdated += 1
                return None
        highest = session.window.highest
        try:
            content = session.opener.open(datagram)
        except ReplayedError:
            self._counters.replayed += 1
            return None
        except ForgedError:
            self._counters.forged += 1
            return None
        self._silent_s = self._now_s + self._patience_s
        if session is not self._session:
            self._use(session)
        if address != machine.current and session.window.highest > highest:
            machine.is_at(address)
        if not content.startswith(_FRAME):
            self._take_question(address, session, content[:1], content[1:])
            return None
        counters, octets = self._counters, len(content) - 1
        if ETHERNET_OCTETS <= octets <= self._longest and not self._is_pulled:
            counters.frames_in += 1
            counters.octets_in += octets
            return content[1:]
        counters.too_large += octets > self._longest
        counters.malformed += octets < ETHERNET_OCTETS
        counters.not_up += ETHERNET_OCTETS <= octets <= self._longest
        return None

    def _take_question(self, address: Address, session: Session, kind: bytes, time: bytes) -> None:
        """Answer whether we are there, or take such an answer."""
        if len(time) != _TIME_OCTETS or kind not in (_ASK, _ANSWER):
            self._counters.malformed += 1
        elif kind == _ASK:
            self._answer(address, session.sealer.seal(_ANSWER + time))
        else:
            took_s = self._now_s - int.from_bytes(time, "big", signed=True) / _TICKS_PER_S
            if 0 <= took_s < _LONGEST_ROUND_TRIP_S:
                self._counters.round_trip_s = took_s

    def _use(self, session: Session) -> None:
        """Go over to a session that has proved to be of now."""
        if self._session is not None:
            lost, reordered = self._before
            window = self._session.window
            self._before = lost + window.lost, reordered + window.late
        self._session = session
        self._counters.sessions += 1
        self._meeting.use(session)
        self._ask_s = self._now_s

    def _asked(self, session: Session, address: Address) -> OuterDatagram:
        time = round(self._now_s * _TICKS_PER_S).to_bytes(_TIME_OCTETS, "big", signed=True)
        return address, session.sealer.seal(_ASK + time)

    def _answer(self, address: Address, datagram: bytes) -> None:
        if len(self._answers) < MOST_ANSWERS:
            self._answers.append((address, datagram))
