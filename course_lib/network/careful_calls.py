"""Call what a student wrote, and turn whatever goes wrong into a record.

A router may raise an error, answer with something that no wire can carry, or never come back. The
other routers cannot help that, so the network goes on: the mistake is written down with the place,
the time and the frame that it happened with, and what was good in the answer is still used.

A router that did not come back once is not called again; its own data may be half changed. The
limits of that are told in `course_lib.runner.time_limit`.
"""

__all__ = ["FrameHandler", "Guard", "kind_of", "read_frames", "read_time"]

import math
import reprlib
import traceback
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol, TypeVar

from course_lib.ip.packets import Interface, OutgoingFrame
from course_lib.network.records import Record, What
from course_lib.runner.time_limit import CallLimit, TookTooLongError

T = TypeVar("T")

ETHERNET_HEADER_OCTETS = 14
MAX_FRAMES_IN_ONE_ANSWER = 100_000
MAX_TEXT = 300  # characters of an error's own words that are kept


class FrameHandler(Protocol):
    """A router or a host, as the network calls it. It reads no clock: it is told the time."""

    def receive(self, now_s: float, interface: str, frame: bytes) -> Sequence[OutgoingFrame]:
        """Take a frame that came in; return interfaces with frames to send on them."""

    def tick(self, now_s: float) -> Sequence[OutgoingFrame]:
        """Do what is due by now; return frames to send."""

    def next_tick_s(self) -> float:
        """Return when `tick` is wanted next, infinity for never."""


@dataclass(eq=False, repr=False)
class Guard:
    """One thing at one place, together with the care that is taken when it is called."""

    place: str
    kind: str  # what messages call it: "router", say
    thing: object
    limit: CallLimit
    write_down: Callable[[Record], None]
    is_stopped: bool = False

    def ask(
        self,
        now_s: float,
        method: str,
        *arguments: object,
        read: Callable[[object], tuple[T, list[str]]],
        about: Callable[[], str] = str,
    ) -> T | None:
        """Call a method of the thing; return what is good in the answer, None if nothing came.

        read: tells what is good in an answer, and what is wrong with the rest. Its sentences go on
            after the call's name: ": frame 3 is too long", or " gave nan".
        about: is asked, for messages only, what the call was for.
        """
        if self.is_stopped:
            return None
        try:
            answer = self.limit.call(getattr(self.thing, method), *arguments)
        except TookTooLongError as end:
            self.stop(now_s, f"{_doing(method, about)}: {end}")
            return None
        except KeyboardInterrupt as stop:
            busy = f"At {now_s} s the {self.kind} {self.place!r} was busy with "
            stop.add_note(f"{busy}{_doing(method, about)}.")
            raise
        except (Exception, SystemExit) as error:
            self.mistake(now_s, What.FAILED, f"{_doing(method, about)} {_told(error)}")
            return None
        good, problems = read(answer)
        for problem in problems:
            self.mistake(now_s, What.REFUSED, f"{_doing(method, about)}{problem}")
        return good

    def stop(self, now_s: float, why: str) -> None:
        """Never call the thing again."""
        self.is_stopped = True
        self.mistake(now_s, What.STOPPED, f"{why}; it is not called any more")

    def mistake(self, now_s: float, what: What, text: str) -> None:
        """Write down a mistake; who made it and when is put in front of `text`."""
        words = f"{self.kind} {self.place!r} at {now_s:.9g} s: {text}"
        self.write_down(Record(now_s, self.place, what, text=words))


def read_frames(
    interfaces: Mapping[str, Interface], answer: object
) -> tuple[list[OutgoingFrame], list[str]]:
    """Return the frames of an answer that can be sent, and sentences about the others."""
    if not isinstance(answer, list | tuple):
        return [], [f": the answer is {kind_of(answer)}, must be a list of OutgoingFrame"]
    frames, problems = [], []
    for place, entry in enumerate(answer[:MAX_FRAMES_IN_ONE_ANSWER], start=1):
        problem = _problem_with(entry, interfaces)
        if problem is None:
            frames.append(OutgoingFrame(*entry))
        else:
            problems.append(f": frame {place} of the answer: {problem}")
    if len(answer) > MAX_FRAMES_IN_ONE_ANSWER:
        problems.append(
            f": {len(answer)} frames in one answer, the first {MAX_FRAMES_IN_ONE_ANSWER} were taken"
        )
    return frames, problems


def read_time(answer: object) -> tuple[float, list[str]]:
    """Return the time that `next_tick_s` gave, or infinity and what is wrong with it.

    >>> read_time("soon")
    (inf, [' gave a value of type str, must be a number of seconds'])
    """
    if isinstance(answer, bool) or not isinstance(answer, int | float):
        return math.inf, [f" gave {kind_of(answer)}, must be a number of seconds"]
    try:
        time_s = float(answer)
    except OverflowError:
        return math.inf, []  # a whole number too large for a float: later than any run
    if math.isnan(time_s):
        return math.inf, [" gave nan; use math.inf when nothing is due"]
    return time_s, []


def kind_of(value: object) -> str:
    """Say what kind of value this is; not the value, which may be long or fail to print."""
    return "None" if value is None else f"a value of type {type(value).__name__}"


def _problem_with(entry: object, interfaces: Mapping[str, Interface]) -> str | None:
    if not isinstance(entry, tuple) or len(entry) != 2:
        return f"it is {kind_of(entry)}, must be OutgoingFrame(interface, frame)"
    name, frame = entry
    if not isinstance(name, str) or name not in interfaces:
        met = reprlib.repr(name) if isinstance(name, str) else kind_of(name)
        return f"there is no interface {met}, only {', '.join(map(repr, interfaces))}"
    if type(frame) is not bytes:  # a bytearray could still be changed while it is on its way
        return f"for interface {name!r} it holds {kind_of(frame)}, must be bytes"
    largest = interfaces[name].mtu + ETHERNET_HEADER_OCTETS
    if not ETHERNET_HEADER_OCTETS <= len(frame) <= largest:
        range_ = f"{ETHERNET_HEADER_OCTETS} (its header) to {largest} (header and MTU)"
        return f"for interface {name!r} it has {len(frame)} octets, must be {range_}"
    return None


def _doing(method: str, about: Callable[[], str]) -> str:
    text = about()
    return f"{method}() for {text}" if text else f"{method}()"


def _told(error: BaseException) -> str:
    """Say what was raised and in which line; an error's own words may fail too."""
    try:
        words = f": {error}"
    except Exception:
        words = " (which cannot even be printed)"
    lines = traceback.extract_tb(error.__traceback__)
    where = f" (line {lines[-1].lineno}, in {lines[-1].name})" if lines else ""
    words = words if len(words) <= MAX_TEXT else words[:MAX_TEXT] + "..."
    return f"raised {type(error).__name__}{words}{where}"
