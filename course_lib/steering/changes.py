"""What a running router can be told: immutable values, one for each kind of change."""

__all__ = [
    "AddRoute",
    "Change",
    "PutBackStage",
    "SetLine",
    "SetLink",
    "StagePlace",
    "SteeringError",
    "SwapStage",
    "WithdrawRoute",
]

from enum import StrEnum
from typing import NamedTuple, TypeAlias

from course_lib.prefixes.prefix import Prefix


class SteeringError(ValueError):
    """A change that could not be made, and was not; the message says why, for who asked for it."""


class AddRoute(NamedTuple):
    """Send what lies in `prefix` to `next_hop`, or to the destination itself if that is None."""

    prefix: Prefix
    next_hop: int | None
    interface: str


class WithdrawRoute(NamedTuple):
    """Forget the route with exactly this prefix."""

    prefix: Prefix


class SetLink(NamedTuple):
    """Cut the line at an interface, or mend it; what was on it or waited for it is lost."""

    interface: str
    is_up: bool


class SetLine(NamedTuple):
    """Set the direction of a line in which the router sends.

    None: as fast as it can be; as many packets wait as want to; nothing is lost on purpose. With a
    loss period of 100 every hundredth frame that was sent gets lost.
    """

    interface: str
    rate_bits_per_s: float | None = None
    delay_s: float = 0.0
    queue_packets: int | None = None  # those that wait, and the one that is being sent
    loss_period: int | None = None


class StagePlace(StrEnum):
    """Where a stage of one's own goes, seen from a stage that is there already."""

    INSTEAD = "instead of"
    BEFORE = "before"
    AFTER = "after"


class SwapStage(NamedTuple):
    """Put a stage at the stage called `name`: what `function` is after `source` has run.

    `source` stands alone: it needs nothing but what it imports. `function` is called with a packet,
    or it is a class whose objects are, and which needs no arguments.
    """

    name: str
    source: str
    function: str
    place: StagePlace = StagePlace.INSTEAD


class PutBackStage(NamedTuple):
    """Take out a stage that was swapped in, and put back what stood in its place, if anything."""

    name: str


Change: TypeAlias = AddRoute | WithdrawRoute | SetLink | SetLine | SwapStage | PutBackStage
