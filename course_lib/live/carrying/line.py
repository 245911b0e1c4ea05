"""One direction of a line: frames and the times of their arrival go in, frames come out later.

    comes -> drop it? -> its queue -> whose turn? -> drop it now? -> sent, bit by bit -> travels

A line reads no clock. It counts from the times that it is told, and these are the kernel's stamps.
So a program that looks late finds that the line has gone on meanwhile: what is overdue comes out at
once, and the next frame began when the one before it had ended, not when somebody looked. A busy
machine makes frames late, but the line not slower.

The rules of its queue are those of `course_lib.queueing`, one's own among them. They are counted in
the same way: the buffer holds the packets that wait and the one that is being sent; what leaves at
the very time when another comes leaves first; to send takes octets * 8 / rate.

A rule that fails is written down, and the line goes on with one queue that drops the newest.
"""

__all__ = ["Departure", "Line", "LineRules", "one_flow"]

import math
import random
from collections import deque
from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from course_lib.live.carrying.line_settings import LineSettings, check_settings
from course_lib.queueing.drop_policies import TAIL_DROP, DropPolicy, PacketView, keep
from course_lib.queueing.schedulers import FIRST_COME, Heads, Scheduler

MOST_COMPLAINTS = 20


def one_flow(frame: bytes) -> int:
    """Put all frames into one flow."""
    return 0


class LineRules(NamedTuple):
    """Whom to drop, whose turn it is, and to which flow a frame belongs (counted from 0)."""

    drop: DropPolicy = TAIL_DROP
    scheduler: Scheduler = FIRST_COME
    flow_of: Callable[[bytes], int] = one_flow


class Departure(NamedTuple):
    """A frame that is at the far end, and since when."""

    at_s: float
    frame: bytes


class _Waiting(NamedTuple):
    came_s: float
    frame: bytes


class Line:
    """One direction. Its books: offered = sent + dropped + lost + waiting + under way.

    >>> line = Line(LineSettings(rate_bits_per_s=8000, delay_s=0.5))  # 1 ms for an octet
    >>> for frame in (bytes(100), bytes(200)):
    ...     line.offer(1.0, frame)
    >>> [(round(at_s, 3), len(frame)) for at_s, frame in line.due(9.0)]
    [(1.6, 100), (1.8, 200)]
    """

    def __init__(
        self,
        settings: LineSettings = LineSettings(),  # noqa: B008 - immutable
        rules: LineRules = LineRules(),  # noqa: B008 - immutable
        seed: int = 0,
    ) -> None:
        check_settings(settings)
        self.sent = self.sent_octets = self.offered = self.dropped = self.lost = 0
        self.complaints: deque[str] = deque(maxlen=MOST_COMPLAINTS)
        self._settings = settings
        self._is_up = True
        self._random = random.Random(seed)
        self._now_s = -math.inf
        self._held = self._held_octets = 0  # in the buffer, with the one on the link
        self._empty_since_s = 0.0
        self._on_link: bytes | None = None
        self._free_s = -math.inf
        self._since_loss = 0
        self._under_way: deque[Departure] = deque()
        self.use(rules)

    # ---- what can be read and set while it runs

    @property
    def settings(self) -> LineSettings:
        """What is set now. A new rate holds from the next packet on, a new delay likewise."""
        return self._settings

    @settings.setter
    def settings(self, settings: LineSettings) -> None:
        check_settings(settings)
        if settings.loss_period != self._settings.loss_period:
            self._since_loss = 0
        self._settings = settings

    @property
    def is_up(self) -> bool:
        """A line that is not up loses all that is in it, and all that comes."""
        return self._is_up

    @is_up.setter
    def is_up(self, is_up: bool) -> None:
        if self._is_up and not is_up:
            self.lost += self._held + len(self._under_way)
            self._under_way.clear()
            self._forget_queues()
        self._is_up = is_up

    @property
    def waiting(self) -> int:
        """How many packets are in the buffer: waiting, or being sent."""
        return self._held

    @property
    def under_way(self) -> int:
        """How many frames travel."""
        return len(self._under_way)

    @property
    def is_bare(self) -> bool:
        """True if frames go straight through: nothing is set, nothing is in it, and it is up."""
        rate, delay_s, queue, period, _ = self._settings
        is_set = rate is not None or delay_s or queue is not None or period is not None
        return not is_set and self._is_up and not self._held and not self._under_way

    def pass_through(self, frames: int, octets: int) -> None:
        """Enter frames that went by a bare line without being handed to it."""
        self.offered += frames
        self.sent += frames
        self.sent_octets += octets

    def use(self, rules: LineRules) -> None:
        """Go on with other rules; what waits is put into the new queues, in the order it came."""
        waits = sorted((each for queue in self._queues() for each in queue), key=_came)
        queues = rules.scheduler.queues
        self._rules = rules
        self._lines: list[deque[_Waiting]] = [deque() for _ in range(queues)]
        self._heads = Heads(np.zeros(queues, np.int64), np.zeros(queues), np.zeros(queues))
        self._drop = np.array(rules.drop.settings, float), np.array(rules.drop.memory, float)
        order = rules.scheduler
        self._order = np.array(order.settings, float), np.array(order.memory, float)
        for each in waits:
            self._join(each)

    # ---- frames in, frames out

    def offer(self, came_s: float, frame: bytes) -> None:
        """Take a frame that came then; what was told of later times before is not undone."""
        self._run_to(came_s)
        now_s = self._now_s
        self.offered += 1
        if not self._is_up:
            self.lost += 1
            return
        idle_s = now_s - self._empty_since_s if not self._held else 0.0
        room = self._settings.queue_packets
        view = (0.0, self._held, float(self._held_octets), idle_s)
        if self._is_unwanted(self._rules.drop.on_arrival, len(frame), view) or (
            room is not None and self._held >= room
        ):
            self.dropped += 1
            return
        self._held += 1
        self._held_octets += len(frame)
        self._join(_Waiting(now_s, frame))
        self._start()

    def due(self, now_s: float) -> list[Departure]:
        """Return the frames that are at the far end by now, in order."""
        self._run_to(now_s)
        out = []
        while self._under_way and self._under_way[0].at_s <= now_s:
            out.append(self._under_way.popleft())
            self.sent += 1
            self.sent_octets += len(out[-1].frame)
        return out

    def next_s(self) -> float:
        """Return when `due` will next have something; infinity if nothing is in the line."""
        if self._under_way:
            return self._under_way[0].at_s
        return self._free_s + self._settings.delay_s if self._on_link is not None else math.inf

    def _run_to(self, now_s: float) -> None:
        """Let the link send what it has sent by then."""
        while self._on_link is not None and self._free_s <= now_s:
            frame, self._on_link = self._on_link, None
            self._now_s = max(self._now_s, self._free_s)
            self._gone(len(frame))
            self._travel(frame)
            self._start()
        self._now_s = max(self._now_s, now_s)

    def _start(self) -> None:
        """Send the packet whose turn it is, if the link is free; some are dropped then."""
        now_s = self._now_s
        while self._on_link is None and self._held:
            came_s, frame = self._leave(self._chosen())
            octets = len(frame)
            view = (now_s - came_s, self._held - 1, float(self._held_octets - octets), 0.0)
            if self._is_unwanted(self._rules.drop.at_head, octets, view):
                self.dropped += 1
                self._gone(octets)
                continue
            rate = self._settings.rate_bits_per_s
            self._on_link = frame
            self._free_s = now_s if rate is None else now_s + octets * 8 / rate

    def _travel(self, frame: bytes) -> None:
        """Put a frame on its way, unless it is the one that gets lost."""
        period = self._settings.loss_period
        self._since_loss += 1
        if period is not None and self._since_loss >= period:
            self._since_loss = 0
            self.lost += 1
            return
        arrives_s = self._free_s + self._settings.delay_s
        if self._under_way:  # the delay may have become shorter, but nobody overtakes on a wire
            arrives_s = max(arrives_s, self._under_way[-1].at_s)
        self._under_way.append(Departure(arrives_s, frame))

    def _gone(self, octets: int) -> None:
        self._held -= 1
        self._held_octets -= octets
        if not self._held:
            self._empty_since_s = self._now_s

    # ---- queues and rules

    def _queues(self) -> list[deque[_Waiting]]:
        return getattr(self, "_lines", [])

    def _join(self, waiting: _Waiting) -> None:
        queue = self._flow(waiting.frame) if len(self._lines) > 1 else 0
        self._lines[queue].append(waiting)
        self._show(queue)

    def _leave(self, queue: int) -> _Waiting:
        waiting = self._lines[queue].popleft()
        self._show(queue)
        return waiting

    def _show(self, queue: int) -> None:
        """Bring what schedulers see of a queue up to date."""
        line, heads = self._lines[queue], self._heads
        heads.waiting[queue] = len(line)
        if line:
            heads.octets[queue], heads.came_s[queue] = len(line[0].frame), line[0].came_s

    def _forget_queues(self) -> None:
        self._on_link, self._held, self._held_octets = None, 0, 0
        self._empty_since_s, self._free_s = self._now_s, -math.inf
        for queue, line in enumerate(self._lines):
            line.clear()
            self._show(queue)

    def _flow(self, frame: bytes) -> int:
        last = len(self._lines) - 1
        try:
            flow = int(self._rules.flow_of(frame))
        except Exception as error:
            self._complain(f"flow_of failed: {type(error).__name__}: {error}")
            return last
        return flow if 0 <= flow <= last else last

    def _is_unwanted(
        self, rule: Callable[..., bool], octets: int, seen: tuple[float, int, float, float]
    ) -> bool:
        if rule is keep:
            return False
        waited_s, others, others_octets, idle_s = seen
        view = PacketView(
            self._now_s, octets, waited_s, others, others_octets, idle_s, self._random.random()
        )
        try:
            return bool(rule(view, *self._drop))
        except Exception as error:
            self._do_without(error)
            return False

    def _chosen(self) -> int:
        """Return a queue in which something waits."""
        if len(self._lines) == 1:
            return 0
        try:
            queue = int(self._rules.scheduler.choose(self._heads, *self._order))
            if not 0 <= queue < len(self._lines) or not self._lines[queue]:
                raise ValueError(f"the scheduler's rule chose queue {queue}, where nothing waits")
        except Exception as error:
            self._do_without(error)
            return 0
        return queue

    def _do_without(self, error: Exception) -> None:
        self._complain(
            f"{type(error).__name__}: {error}; from now on there is one queue, "
            "and only a full one drops"
        )
        self.use(LineRules())

    def _complain(self, text: str) -> None:
        self.complaints.append(text)


def _came(waiting: _Waiting) -> float:
    return waiting.came_s
