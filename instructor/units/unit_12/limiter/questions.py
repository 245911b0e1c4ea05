"""Questions of exercise 12.5: rows of packets to a limiter.

What one aspect asks for must not fall with another. `most` tells them apart (`MOST`): one bucket,
many that all have room, and few; and packets can be marked under "mark or drop" alone.
"""

__all__ = [
    "BLOCKS", "BOUNDED", "LIMITERS", "MARKS", "MOST", "ONE", "limiter_questions",
]  # fmt: skip

import operator
import random
from dataclasses import dataclass
from typing import Any

from instructor.units.items import Question
from instructor.units.unit_10.secret_events import between, events

ONE, BLOCKS, MARKS, BOUNDED = "one block", "many blocks", "mark or drop", "bounded"
MOST = {ONE: 1, BLOCKS: 50, MARKS: 8}
FILLS = "RFC 2697, section 3 (its rules for one bucket, worked out by hand)"
ECN = "RFC 3168, section 5 (which packets may be marked)"
Step = tuple[Any, ...]


@dataclass(frozen=True)
class Scene:
    """Numbers of which rows are made: `step_ms` brings `step_octets`, and nothing is left over."""

    rate_bits_per_s: int
    step_ms: int
    step_octets: int
    burst: int
    net: str
    low: int  # the first address of a block of 16
    start_ms: int

    def row(self, aspect: str, length: int, *steps: Step, most: int = 0, **about: Any) -> Question:
        """Make a limiter."""
        new = (length, self.rate_bits_per_s, self.burst, most or MOST[aspect])
        return events(aspect, new, *steps, **about)

    def take(self, after_ms: int, host: int, octets: int, ecn: int = 0) -> Step:
        """Let a host send a packet."""
        return ("take", self.start_ms + after_ms, f"{self.net}.{host}", octets, ecn)

    def look(self, after_ms: int) -> Step:
        """Ask who is waiting."""
        return ("waiting", self.start_ms + after_ms)


def _one(s: Scene) -> list[Question]:
    full, ms, come, host = s.burst, s.step_ms, s.step_octets, s.low

    def row(*packets: tuple[int, int]) -> Question:
        steps = [s.take(after_ms, host, octets) for after_ms, octets in packets]
        return s.row(ONE, 32, *steps, source=FILLS)

    idle = ms * (full // come + 2)
    # In 3/10 of a step comes a number with a fraction; ten of them make three steps.
    part = ms * 3 // 10
    whole = come * 3 // 10
    rest = come * 3 - 9 * whole
    # At this time next to nothing is missing for one octet more.
    near = min(range(1, ms + 1), key=lambda after: (-come * after % ms or ms, after))
    return [
        row((0, full), (near, come * near // ms + 1)),
        row((0, full), (0, 1)),
        row((0, full // 2), (0, full - full // 2), (0, 2)),
        row((0, full), (ms, come), (ms, 1)),
        row((0, full), (2 * ms, 2 * come), (2 * ms, 1), (3 * ms, come - 1), (3 * ms, 2)),
        row((0, full), *[(part * turn, whole) for turn in range(1, 10)], (ms * 3, rest)),
        row((0, full), *[(part * turn, whole) for turn in range(1, 10)], (ms * 3, rest + 1)),
        row((0, full - 1), *[(part * turn, whole) for turn in range(1, 10)], (ms * 3, rest + 1)),
        row((0, full), *_short_in_floats(s)),
        row((0, full - 10), (idle, full - 7), (idle, 8)),
        row((0, 60), (idle, full)),
        row((0, 60), (9 * idle, full - 9), (9 * idle, 10)),
        row((0, full - 50), (0, 60), (0, 40), (0, 11)),
        row((0, full - 80), (5, full), (5, 70)),
        row((0, full + 1), (0, full - 5), (0, 6)),
        row((0, 30), (idle, full + 2), (idle, full - 4)),
    ]


def _short_in_floats(s: Scene) -> list[tuple[int, int]]:
    """Return packets that empty a bucket again and again, the last one to the last token.

    All of them pass. Where levels are floats, the last one finds a little less than it needs.
    """
    for part in range(1, s.step_ms):
        for turns in range(2, 30):
            times = [*range(part, part * turns + 1, part)]
            times.append((times[-1] // s.step_ms + 1) * s.step_ms)
            come = [time * s.step_octets // s.step_ms for time in times]
            octets = map(operator.sub, come, [0, *come[:-1]])
            packets = [*zip(times, octets, strict=True)]
            if all(one for _, one in packets) and _falls_short(s.rate_bits_per_s, packets):
                return packets
    raise ValueError(f"floats are exact enough for {s.rate_bits_per_s} bit/s")


def _falls_short(rate: int, packets: list[tuple[int, int]]) -> bool:
    """Tell whether only the last packet does not pass, in either way to add up floats."""
    levels, before = (0.0, 0.0), 0
    for now, octets in packets:
        elapsed = now - before
        levels = levels[0] + rate / 8000 * elapsed, levels[1] + rate * elapsed / 8000
        if any(level < octets for level in levels):
            return (now, octets) == packets[-1] and all(level < octets for level in levels)
        levels, before = (levels[0] - octets, levels[1] - octets), now
    return False


def _blocks(s: Scene) -> list[Question]:
    full, ms, low = s.burst, s.step_ms, s.low
    idle = ms * (full // s.step_octets + 2)

    def row(length: int, *steps: Step) -> Question:
        return s.row(BLOCKS, length, *steps, source=FILLS)

    def take(host: int, octets: int, after_ms: int = 0) -> Step:
        return s.take(after_ms, host, octets)

    most = full - 10
    far = (low + 64) % 256
    outside = f"203.0.113.{low}"
    late = s.look(1)
    return [
        row(28, take(low, most), take(low + 15, 20), take(low + 7, 9)),
        row(28, take(low, most), take((low + 16) % 256, most), take((low + 17) % 256, 20)),
        row(27, take(low & 224, most), take(low & 224 | 31, 20), late),
        row(29, take(low + 7, most), take(low + 8, most), take(low + 9, 20)),
        row(26, take(low, most), take(low ^ 16, 20), take(far, most)),
        row(0, take(low, most), ("take", s.start_ms, outside, 20, 0), late),
        row(24, take(low, most), take(far, 20), ("take", s.start_ms, outside, most, 0)),
        row(32, take(low, most), take(low + 1, most), take(low, 20), take(low + 1, 20)),
        row(28, *[take(low, 99)] * 3, take(far, most), take(low, 99), take(far, 20)),
        row(30, take(128, 60), take(16, 70), take(64, 80), late),
        row(31, take(200, 60), take(20, 70), take(3, 80), late),
        row(28, take(low + 5, 40), take(far + 3, 50), late),
        row(28, take(low + 5, full + 1), s.look(0), take(far, 9), s.look(0)),
        row(28, take(low + 1, s.step_octets), s.look(ms - 1), s.look(ms)),
        row(28, take(low + 1, full), take(far, s.step_octets), s.look(ms), s.look(ms + idle)),
        between(BLOCKS, ((28, s.rate_bits_per_s, full, 50), (28, s.rate_bits_per_s, full, 51)),
                (0, *take(low, most)), (1, *take(low, most)), (0, *take(low, 20)),
                (1, *late), (0, *late)),
    ]  # fmt: skip


def _marks(s: Scene) -> list[Question]:
    full, ms, come, host = s.burst, s.step_ms, s.step_octets, s.low

    def row(*packets: tuple[int, int, int]) -> Question:
        steps = [s.take(after_ms, host, octets, ecn) for after_ms, octets, ecn in packets]
        return s.row(MARKS, 32, *steps, source=ECN)

    most = full - 30
    return [
        row((0, most, 0), (0, 40, 1)),
        row((0, most, 0), (0, 50, 2)),
        row((0, most, 0), (0, 60, 3), (0, 70, 3)),
        row((0, most, 0), (0, 40, 0), (0, 55, 0)),
        row((0, most, 0), (0, 50, 0), (0, 65, 2)),
        row((0, most, 0), (0, 40, 1), (0, 45, 2), (0, 50, 3), (0, 60, 0)),
        row((0, most, 2), (0, 60, 0), (0, 80, 1)),
        row((0, 40, 3), (0, 50, 1), (0, most, 1)),
        row((0, 60, 3), (0, 70, 3), (0, 80, 2)),
        row((0, most, 0), (0, 50, 2), (0, 25, 0)),
        row((0, most, 0), (0, 60, 1), (0, 28, 0), (0, 10, 0)),
        row((0, full, 0), (ms - 1, come, 1), (ms, come, 0)),
    ]


def _bounded(s: Scene) -> list[Question]:
    full, ms, come, low = s.burst, s.step_ms, s.step_octets, s.low
    a, b, c, d = (16 * place + low % 16 for place in (1, 4, 2, 12))

    def row(most: int, *steps: Step) -> Question:
        return s.row(BOUNDED, 28, *steps, most=most, source=FILLS)

    def take(host: int, octets: int, after_ms: int = 0) -> Step:
        return s.take(after_ms, host, octets)

    return [
        row(2, take(a, 50), take(b, 60), take(c, 70)),
        row(3, take(a, 50), take(b, 60), take(c, 70), take(d, 80)),
        row(3, take(d, 90), take(c, 60), take(b, 70), take(a, 50), s.look(0)),
        row(2, take(a, come), take(b, full), take(c, 70, ms - 1), take(c, 80, ms)),
        row(2, take(a, come), take(b, full), take(d, 70, ms), s.look(ms)),
        row(2, take(b, 60), take(a, full), take(b, 70), take(c, 20), take(b, full - 120)),
        row(2, take(b, full), take(a, 60), take(c, 50), take(b, 10), take(d, 60)),
        row(3, take(c, full), take(a, full), take(b, 60), take(d, 50), take(a, 9), take(c, 8)),
        row(2, take(a, come), take(b, full), take(c, 50), take(c, full, ms), take(c, 2, ms)),
        row(2, take(a, 50), take(b, 60), take(c, full + 1), take(d, full + 9)),
        row(2, take(a, full + 1), take(b, full + 5), take(c, 50), take(d, 60)),
        row(2, take(a, 50), take(b, 60), take(c, 70), s.look(0)),
        row(1, take(a, 50), s.take(0, b, 60, 1), s.take(0, c, 70, 3)),
    ]


PUBLIC_SCENE = Scene(9_200, 20, 23, 3_000, "192.0.2", 32, 0)


def _all(one: Scene, blocks: Scene, marks: Scene, bounded: Scene) -> list[Question]:
    return [*_one(one), *_blocks(blocks), *_marks(marks), *_bounded(bounded)]


LIMITERS = tuple(_all(PUBLIC_SCENE, PUBLIC_SCENE, PUBLIC_SCENE, PUBLIC_SCENE))


def limiter_questions(rng: random.Random) -> list[Question]:
    """Draw rates, sizes and addresses for all rows, anew for each aspect."""
    return _all(_scene(rng), _scene(rng), _scene(rng), _scene(rng))


def _scene(rng: random.Random) -> Scene:
    step_ms, step_octets = rng.choice((10, 20, 40, 50)), rng.choice((13, 17, 23, 29, 31))
    return Scene(
        step_octets * 8000 // step_ms,
        step_ms,
        step_octets,
        rng.randint(900, 4_000),
        rng.choice(("192.0.2", "198.51.100")),
        16 * rng.randint(1, 11),
        rng.randint(1, 90_000),
    )
