"""Whose pier is whose: joining, late, leaving, asleep, and the same student twice.

A student is a number drawn by lot. The first pier that nobody has is handed out; whoever comes back
gets the pier that was theirs. A laptop that sleeps keeps its pier. Only where all are handed out
does one more get the pier of whoever has been asleep longest, and for ten minutes at least.

No socket and no clock: times come in, in seconds, and never go back.
"""

__all__ = ["ASLEEP_AFTER_S", "Seat", "Seated", "Seats", "SeatsTakenError"]

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

from instructor.joined_room.room_view import MemberState

ASLEEP_AFTER_S = 4.0  # reports come once a second; a busy laptop may miss some
GIVEN_AWAY_AFTER_S = 600.0


class SeatsTakenError(ValueError):
    """All piers are handed out; the text says what to do."""


@dataclass
class Seat:
    """A pier that is handed out. connection: None while nobody is on the line."""

    pier: int
    student: str
    connection: int | None = None
    address: str = ""
    heard_s: float = 0.0
    ports: dict[int, int] = field(default_factory=dict)  # of lines, by their numbers


class Seated(NamedTuple):
    """Who has joined: the seat, and the connection that it was taken from, if any."""

    seat: Seat
    taken_from: int | None


class Seats:
    """All piers of a room, and who has them."""

    def __init__(
        self, piers: int, given: Iterable[tuple[int, str]] = (), now_s: float = 0.0
    ) -> None:
        """Begin; given: students by pier, as kept from before. They are asleep until heard."""
        self._piers = piers
        self._seats = {pier: Seat(pier, student, heard_s=now_s) for pier, student in given}
        self._left = set[int]()

    def join(self, now_s: float, student: str, connection: int, address: str) -> Seated:
        """Give the student a pier; the later of two connections has it.

        Raises `SeatsTakenError`.
        """
        seat = next((each for each in self._seats.values() if each.student == student), None)
        if seat is None:
            pier = self._free_pier(now_s)
            seat = self._seats[pier] = Seat(pier, student)
            self._left.discard(pier)
        before, seat.connection = seat.connection, connection
        if address != seat.address:
            seat.ports.clear()
        seat.address, seat.heard_s = address, now_s
        return Seated(seat, before if before != connection else None)

    def by_connection(self, connection: int) -> Seat | None:
        """Return who is on this line; None for one that has been taken over, or never joined."""
        return next((one for one in self._seats.values() if one.connection == connection), None)

    def at(self, pier: int) -> Seat | None:
        """Return who has a pier."""
        return self._seats.get(pier)

    def disconnected(self, seat: Seat) -> None:
        """Take note that the line has ended; the pier stays whose it is."""
        seat.connection = None

    def leave(self, seat: Seat) -> None:
        """Take the pier back."""
        del self._seats[seat.pier]
        self._left.add(seat.pier)

    def state(self, now_s: float, pier: int) -> MemberState:
        """Return how it is with a pier."""
        seat = self._seats.get(pier)
        if seat is None:
            return "gone" if pier in self._left else "awaited"
        is_heard = seat.connection is not None and now_s - seat.heard_s < ASLEEP_AFTER_S
        return "here" if is_heard else "asleep"

    def given(self) -> tuple[tuple[int, str], ...]:
        """Return students by pier, to be kept."""
        return tuple((pier, self._seats[pier].student) for pier in sorted(self._seats))

    def _free_pier(self, now_s: float) -> int:
        for pier in range(self._piers):
            if pier not in self._seats:
                return pier
        longest = min(self._seats.values(), key=lambda seat: seat.heard_s)
        if now_s - longest.heard_s < GIVEN_AWAY_AFTER_S:
            raise SeatsTakenError(
                f"all {self._piers} piers of this room are taken. Ask for a larger room: it is "
                "ended, and started again with --piers"
            )
        return longest.pier
