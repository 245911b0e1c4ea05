"""Where the packets of a journey are after each step, and the books of the router so far.

A journey begins with one packet. The slow path may cut it into parts, and may make packets of the
router's own. Each of them is a `Token`, with the place to which the steps so far have brought it.

The books say what the router has counted. What came in or was made has been sent, was taken in, was
dropped, waits, or is still on its way. The first five are the router's own numbers; those on their
way are the tokens that have not ended. So the two sides agree only if no packet got lost uncounted.
"""

__all__ = ["Books", "Place", "Token", "Ways", "books_at", "end_of", "tokens_at", "ways_taken"]

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import NamedTuple

from course_lib.forwarding.verdicts import Divert, Drop, Held, Refuse, SlowPathTask
from course_lib.ip.packets import OutgoingFrame
from course_lib.tracing.steps import SLOW_PATH, Journey, JourneyStep

_GOES_ON_LATER = (SlowPathTask.OPTIONS, SlowPathTask.FRAGMENT, SlowPathTask.REDIRECT)


class Place(StrEnum):
    """Where a packet can be."""

    DOOR = "at the door"
    STAGE = "in a stage"
    SIDING = "on the slow path"
    OUT = "outside"


@dataclass(frozen=True, slots=True)
class Token:
    """A packet of a journey; `octets` are those of its frame, `stage` is a place in the list.

    fate: "sent", "dropped", "taken in", "waits", or nothing as long as it is on its way.
    is_own: the router has made it. is_next: the last step was about this one.
    """

    key: str
    octets: int
    place: Place = Place.DOOR
    stage: int = -1
    fate: str = ""
    is_own: bool = False
    is_next: bool = True


class Books(NamedTuple):
    """What came into a router or was made in it, and what has become of it."""

    waited: int  # before the frame arrived
    received: int
    made: int
    sent: int
    taken: int
    dropped: int
    waiting: int
    on_its_way: int

    @property
    def came(self) -> int:
        """The left side of the balance."""
        return self.waited + self.received + self.made

    @property
    def gone(self) -> int:
        """The right side of the balance."""
        return self.sent + self.taken + self.dropped + self.waiting + self.on_its_way


class Ways(NamedTuple):
    """The stages that packets have seen, from which they left the fast path, to which they came."""

    seen: set[int]
    left: set[int]
    back: set[int]


def tokens_at(journey: Journey, until: int) -> tuple[Token, ...]:
    """Return all packets of a journey, as they are after its first `until` steps."""
    ride = _Ride(journey)
    for number in range(min(until, len(journey.steps))):
        ride.take(number)
    return tuple(ride.tokens.values())


def books_at(journey: Journey, until: int) -> Books:
    """Return the books after the first `until` steps of a journey."""
    steps = journey.steps[:until]
    pairs = [pair for step in steps for pair in step.counted]
    if not journey.steps:  # no stage was called: all was counted on arrival
        pairs = list(journey.counted.items())
    sums: Counter[str] = Counter()
    for name, number in pairs:
        sums[name.partition(":")[0]] += number
    moving = sum(
        not token.fate and token.place != Place.DOOR for token in tokens_at(journey, until)
    )
    waiting = steps[-1].waiting if steps else journey.waited
    came = (sums["received"], sums["made"])
    gone = (sums["sent"], sums["taken"], sums["dropped"])
    return Books(journey.waited, *came, *gone, waiting, moving)


def end_of(journey: Journey) -> int:
    """Return where the packet's way on the fast path ends.

    That is the place of a stage in the list, or the number of stages if it goes out.
    """
    if journey.end.kind == "sent":
        return len(journey.stages)
    return max(0, sum(step.leg == 0 for step in journey.steps) - 1)


def ways_taken(journey: Journey, until: int) -> Ways:
    """Return where packets have been, left the fast path and come back in the first steps."""
    ride, ways = _Ride(journey), Ways(set(), set(), set())
    for number, step in enumerate(journey.steps[:until]):
        before = ride.token_of(step)
        ride.take(number)
        after = ride.token_of(step)
        if after is None or step.stage == SLOW_PATH:
            continue
        ways.seen.add(after.stage)
        if isinstance(step.verdict, Refuse | Divert):
            ways.left.add(after.stage)
        if before is not None and before.place == Place.SIDING:
            ways.back.add(after.stage)
    return ways


@dataclass
class _Ride:
    """Moves tokens as the steps of a journey say."""

    journey: Journey
    tokens: dict[str, Token] = field(default_factory=dict)

    def __post_init__(self) -> None:
        arrived = Token("packet", sum(map(len, self.journey.arrived)))
        self.tokens = {arrived.key: arrived}
        self._key_of_leg = {0: arrived.key}
        self._calls = _calls(self.journey.steps)

    def token_of(self, step: JourneyStep) -> Token | None:
        """Return the packet that a step is about, if it is there already."""
        return self.tokens.get(self._key_of_leg.get(step.leg, ""))

    def take(self, number: int) -> None:
        """Take the step with this number, counted from 0."""
        step = self.journey.steps[number]
        for key, token in self.tokens.items():
            self.tokens[key] = replace(token, is_next=False)
        if step.stage == SLOW_PATH and number in self._calls:
            self._call(number, step)
        key = self._key_of_leg[step.leg]
        token = replace(self.tokens[key], is_next=True)
        if step.stage != SLOW_PATH:
            token = self._through_stage(number, step, token)
        self.tokens[key] = replace(token, octets=sum(map(len, step.after)))

    def _through_stage(self, number: int, step: JourneyStep, token: Token) -> Token:
        names = self.journey.stages
        further = (n for n in range(token.stage + 1, len(names)) if names[n] == step.stage)
        token = replace(token, place=Place.STAGE, stage=next(further, token.stage))
        match step.verdict:
            case OutgoingFrame():
                return replace(token, place=Place.OUT, fate="sent")
            case Drop():
                return replace(token, fate="dropped")
            case Held():
                return replace(token, fate="waits")
        goes_on = step.verdict is not None or any(
            later.leg == step.leg for later in self.journey.steps[number + 1 :]
        )
        return token if goes_on else replace(token, fate="dropped")  # the stage has failed

    def _call(self, number: int, step: JourneyStep) -> None:
        """Move a packet that has left its path to the siding, and bring what comes of it."""
        steps = self.journey.steps
        came = [steps[n] for n in self._calls[number] if _has_more(steps, n)]
        origin = self._key_of_leg[steps[number - 1].leg] if number else "packet"
        is_own = self.tokens[origin].is_own  # then what comes of it looks new, and is the same
        going_on = [each for each in came if is_own or not each.is_new]
        original = replace(self.tokens[origin], place=Place.SIDING)
        if not going_on:
            original = replace(original, fate=_fate(step, steps[number - 1].verdict))
            self._key_of_leg[step.leg] = origin
        self.tokens[origin] = original
        for place, each in enumerate(going_on):
            key = origin if place == 0 else f"part {each.leg}"
            octets = sum(map(len, each.after))
            self.tokens[key] = replace(original, key=key, octets=octets, is_next=False)
            self._key_of_leg[each.leg] = key
        for each in came:
            if each not in going_on:
                own = Token(f"own {each.leg}", sum(map(len, each.after)), Place.SIDING,
                            is_own=True, is_next=False)  # fmt: skip
                self.tokens[own.key] = own
                self._key_of_leg[each.leg] = own.key


def _fate(step: JourneyStep, verdict: object) -> str:
    """Return what has become of a packet that does not come back from the slow path."""
    counted = {name for name, _ in step.counted}
    waits = isinstance(verdict, Divert) and verdict.task is SlowPathTask.RESOLVE
    if waits and "dropped: stage failed" not in counted:
        return "waits"
    if any(name.startswith("dropped") for name in counted):
        return "dropped"
    return "taken in" if "taken" in counted else ""


def _has_more(steps: Sequence[JourneyStep], number: int) -> bool:
    """Return True if a packet came out of this step of the slow path."""
    return any(later.leg == steps[number].leg for later in steps[number + 1 :])


def _calls(steps: Iterable[JourneyStep]) -> dict[int, list[int]]:
    """Return the slow path's steps, under the first one of those that have the same cause.

    The first one follows a step that has left its path. Another one may follow when all that came
    of the first has ended: the next part of a packet, or the packet after a word to its sender.
    """
    calls: dict[int, list[int]] = {}
    goes_on: set[int] = set()  # calls from which the packet itself goes on
    verdict: object = None
    for number, step in enumerate(steps):
        if step.stage == SLOW_PATH:
            known = [call for call in calls if step.is_new or call in goes_on]
            if isinstance(verdict, Refuse | Divert) or not known:
                calls[number] = [number]
                if isinstance(verdict, Divert) and verdict.task in _GOES_ON_LATER:
                    goes_on.add(number)
            else:
                calls[known[-1]].append(number)
        verdict = step.verdict
    return calls
