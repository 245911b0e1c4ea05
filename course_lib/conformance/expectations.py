"""What a clause wants to see among the frames that a router sent.

An expectation looks at one thing. A router may send in another order, number its packets otherwise,
or say more than it must: whatever the clause does not speak of is not looked at.

    Comes("a forwarded packet", {"ipv4.time_to_live": 63})   at least one, and each has this
    Never("an ICMP error")                                   none of this kind
    Both(one, other)                                         both of them
    Holds("...", test)                                       whatever else can be said of frames

Each says in words what it wants, and what is wrong with what came.
"""

__all__ = ["Both", "Comes", "Expectation", "Holds", "Never", "Rule"]

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple, Protocol

from course_lib.conformance.seen import Seen, Value, field_in_words, frame_in_words, value_in_words


class Rule(NamedTuple):
    """What a field must be where several values are right: in words, and as a test."""

    words: str
    test: Callable[[Value], bool]


Wanted = Value | Rule


class Expectation(Protocol):
    """What is wanted."""

    @property
    def words(self) -> str:
        """What had to come, as the end of a sentence."""

    def problem(self, frames: Sequence[Seen]) -> str | None:
        """Return what is wrong with the frames that came, None if nothing is."""


@dataclass(frozen=True)
class Comes:
    """At least one frame of a kind comes, and each of that kind has these values.

    Fields are named as in `seen`. With `once`, more than one is wrong too.
    """

    kind: str
    fields: Mapping[str, Wanted]
    once: bool = False

    def __post_init__(self) -> None:
        """Make the fields as unchangeable as the rest."""
        object.__setattr__(self, "fields", MappingProxyType(dict(self.fields)))

    @property
    def words(self) -> str:
        """What had to come, as the end of a sentence."""
        wanted = [f"{field_in_words(name)} {_wanted(name, it)}" for name, it in self.fields.items()]
        in_which = f" in which {' and '.join(wanted)}" if wanted else ""
        return f"{self.kind}{', once,' if self.once else ''}{in_which}".rstrip(",")

    def problem(self, frames: Sequence[Seen]) -> str | None:
        """Return what is wrong with the frames that came, None if nothing is."""
        met = [each for each in frames if each.kind == self.kind]
        if not met:
            return f"{self.kind} had to come, and none came"
        for each in met:
            for name, wanted in self.fields.items():
                value = each.value(name)
                if not (wanted.test(value) if isinstance(wanted, Rule) else value == wanted):
                    is_now = value_in_words(name, value)
                    return f"{field_in_words(name)} is {is_now}, must be {_plain(name, wanted)}"
        if self.once and len(met) > 1:
            return f"{self.kind} had to come once, and {len(met)} came"
        return None


@dataclass(frozen=True)
class Never:
    """No frame of this kind comes."""

    kind: str

    @property
    def words(self) -> str:
        """What had to come, as the end of a sentence."""
        return "no " + self.kind.removeprefix("an ").removeprefix("a ")

    def problem(self, frames: Sequence[Seen]) -> str | None:
        """Return what is wrong with the frames that came, None if nothing is."""
        for each in frames:
            if each.kind == self.kind:
                where = f"by {each.sent.interface!r}"
                return f"{self.kind} came {where}: {frame_in_words(each.sent.frame)}"
        return None


@dataclass(frozen=True)
class Both:
    """All of several expectations; the first one that is not met tells what is wrong."""

    parts: tuple[Expectation, ...]

    @property
    def words(self) -> str:
        """What had to come, as the end of a sentence."""
        return "; and ".join(part.words for part in self.parts)

    def problem(self, frames: Sequence[Seen]) -> str | None:
        """Return what is wrong with the frames that came, None if nothing is."""
        problems = (part.problem(frames) for part in self.parts)
        return next((problem for problem in problems if problem is not None), None)


@dataclass(frozen=True)
class Holds:
    """Whatever else can be said of all frames together."""

    words: str
    test: Callable[[Sequence[Seen]], str | None]

    def problem(self, frames: Sequence[Seen]) -> str | None:
        """Return what is wrong with the frames that came, None if nothing is."""
        return self.test(frames)


def _wanted(name: str, wanted: Wanted) -> str:
    return f"is {_plain(name, wanted)}"


def _plain(name: str, wanted: Wanted) -> str:
    return wanted.words if isinstance(wanted, Rule) else value_in_words(name, wanted)
