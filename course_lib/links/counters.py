"""What a link has counted since its end was made."""

__all__ = ["LinkCounters"]

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any


@dataclass(slots=True)
class LinkCounters:
    """Frames that came through, and all that did not, each under its reason.

    lost: numbers of the other end that never came. reordered: those that came after a later one.
    replayed: datagrams that had come before, or hellos of a session that is over.
    forged: what was not made by the other end, or was changed or cut on the way.
    strangers: datagrams from addresses that the room did not hand out; nobody looked into them.
    outdated: datagrams of a session that is not ours, as just after one end has started anew.
    malformed: what the other end has sealed though no end should.
    not_up: frames of the router while the link was pulled, or the other machine silent.
    round_trip_s: of the last keep-alive that was answered, None before.
    """

    frames_in: int = 0
    octets_in: int = 0
    frames_out: int = 0
    octets_out: int = 0
    lost: int = 0
    reordered: int = 0
    replayed: int = 0
    forged: int = 0
    strangers: int = 0
    outdated: int = 0
    malformed: int = 0
    refused_by_rate: int = 0
    too_large: int = 0
    not_up: int = 0
    sessions: int = 0
    round_trip_s: float | None = None

    def to_plain(self) -> dict[str, Any]:
        """Return it as what JSON can hold."""
        return asdict(self)

    @classmethod
    def from_plain(cls, data: Mapping[str, Any]) -> "LinkCounters":
        """Return the counters that `to_plain` gave."""
        return cls(**data)
