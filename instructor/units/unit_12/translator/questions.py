"""Questions of exercise 12.4: rows of packets that go out and come in.

What one aspect asks for must not fall with another. So UDP has no checksum but under "checksums"
(and where an error quotes one); time passes and ports run out under "time and room" alone; and
errors come under "errors". Ports far away tell the aspects apart, too: see `broken`.
"""

__all__ = [
    "BACK", "ERRORS", "PORTS_FAR", "SUMS", "TIME", "TRANSLATORS", "translator_questions",
]  # fmt: skip

import random
from dataclasses import dataclass
from typing import Any

from instructor.units.items import Question
from instructor.units.unit_10.secret_events import between, events
from instructor.units.unit_12.half_of_rows import half_of
from instructor.units.unit_12.translator.packets import (
    TCP,
    UDP,
    End,
    error,
    packet,
    that_comes_out_as_zero,
)

BACK, SUMS, TIME, ERRORS = "out and back", "checksums", "time and room", "errors"
PORTS_FAR = {BACK: 123, SUMS: 443, TIME: 5004, ERRORS: 33434}
MAPS = "RFC 4787, sections 4.1 and 5 (its rules, worked out by hand)"
UPDATES = "RFC 1624, section 3 (equation 3); RFC 768 (0 is no checksum)"
TIMES = "RFC 4787, section 4.3 (two minutes); RFC 5382, section 5 (2 hours 4 minutes)"
QUOTES = "RFC 5508, section 4.2"
Step = tuple[Any, ...]


@dataclass(frozen=True)
class Scene:
    """Addresses and ports of which rows are made."""

    outside: str
    ports: tuple[int, ...]  # not in their order
    inside: tuple[End, ...]
    far: tuple[str, ...]
    start_s: int
    data: bytes

    def row(self, aspect: str, ports: int, *steps: Step, source: str) -> Question:
        """Make a translator with the first so many ports."""
        return events(aspect, self.new(ports), *steps, source=source)

    def new(self, ports: int) -> Step:
        """Return the arguments of a translator."""
        return (self.outside, list(self.ports[:ports]))

    def out(self, aspect: str, after_s: int, host: int, far: int, **about: Any) -> Step:
        """Let a host send something to an address far away."""
        to = (self.far[far], PORTS_FAR[aspect])
        return self.send(after_s, self.inside[host], to, **about)

    def send(self, after_s: int, source: End, to: End, protocol: int = UDP, **about: Any) -> Step:
        """Let one end send something to another."""
        about = {"data": self.data, "summed": False, **about}
        return ("outward", self.start_s + after_s, packet(protocol, source, to, **about))

    def back(
        self, aspect: str, after_s: int, far: int, place: int, protocol: int = UDP, **about: Any
    ) -> Step:
        """Let an address far away send something to one of the ports."""
        port_far = about.pop("port_far", PORTS_FAR[aspect])
        about = {"data": self.data[::-1], "summed": False, **about}
        source, to = (self.far[far], port_far), (self.outside, self.ports[place])
        return ("inward", self.start_s + after_s, packet(protocol, source, to, **about))


def _back(s: Scene) -> list[Question]:
    a, b = s.inside[:2]

    def out(host: int, far: int, **about: Any) -> Step:
        return s.out(BACK, 0, host, far, **about)

    def back(far: int, place: int, protocol: int = UDP, **about: Any) -> Step:
        return s.back(BACK, 1, far, place, protocol, **about)

    def row(ports: int, *steps: Step) -> Question:
        return s.row(BACK, ports, *steps, source=MAPS)

    def from_port(address: str, port: int, far: int = 0) -> Step:
        return s.send(0, (address, port), (s.far[far], PORTS_FAR[BACK]))

    twin = s.outside[:-1] + str((int(s.outside[-1]) + 1) % 10)
    return [
        row(3, out(0, 0), back(0, 0)),
        row(2, out(0, 0), out(1, 0)),
        row(3, out(0, 0), out(1, 0), back(0, 1), back(0, 0)),
        row(3, from_port(b[0], a[1]), from_port(a[0], a[1]), back(0, 1)),
        row(3, from_port(a[0], a[1]), from_port(a[0], b[1]), from_port(a[0], a[1])),
        row(3, out(0, 0), out(0, 1), out(0, 0), back(1, 0), back(0, 0)),
        row(3, out(1, 2), out(1, 0), out(0, 1), back(0, 0)),
        row(3, out(0, 0), out(1, 1, protocol=TCP)),
        row(3, out(0, 1), out(0, 1, protocol=TCP), out(1, 1), back(1, 0, TCP)),
        row(3, from_port(b[0], b[1], 2), from_port(b[0], a[1], 2), back(2, 1)),
        row(3, from_port(a[0], s.ports[1]), from_port(b[0], s.ports[2])),
        row(3, from_port(b[0], s.ports[2]), from_port(a[0], b[1], 1), back(1, 1)),
        row(3, from_port(a[0], 61_000 + a[1] % 4000), back(0, 0)),
        row(3, back(0, 0), out(0, 0)),
        row(3, out(0, 0), back(0, 1)),
        row(3, out(0, 1), back(0, 0), back(1, 0), back(0, 0)),
        row(3, out(1, 0), back(2, 0)),
        row(3, out(0, 1), back(1, 0, port_far=53 + a[1] % 70)),
        row(3, out(1, 2), back(2, 0, port_far=500 + a[1] % 90)),
        row(3, out(0, 0), out(1, 1), back(1, 0), back(0, 1), back(1, 1)),
        row(3, out(0, 2, service=184), back(2, 0, service=72)),
        between(BACK, (s.new(3), (twin, [s.ports[0]])), (0, *out(0, 0)), (1, *out(1, 0)),
                (1, *back(0, 0)), (0, *out(1, 0))),
    ]  # fmt: skip


def _sums(s: Scene) -> list[Question]:
    a, b = s.inside[:2]
    far = (s.far[0], PORTS_FAR[SUMS])
    whole = {"summed": True}

    def row(*steps: Step) -> Question:
        return s.row(SUMS, 2, *steps, source=UPDATES)

    def out(host: int, to: int, protocol: int = UDP, **about: Any) -> Step:
        return s.out(SUMS, 0, host, to, protocol=protocol, **{**whole, **about})

    def back(to: int, protocol: int = UDP, **about: Any) -> Step:
        return s.back(SUMS, 1, to, 0, protocol, **{**whole, **about})

    def zero(source: End, protocol: int = UDP) -> Step:
        translated = (s.outside, s.ports[0])
        return ("outward", s.start_s, that_comes_out_as_zero(source, translated, far, protocol))

    bits = 0x0100 + a[1] % 251
    return [
        row(out(0, 0), back(0)),
        row(out(1, 1, data=s.data + b"s"), back(1)),
        row(out(0, 0, TCP)),
        row(out(1, 1, TCP, data=s.data + b"."), back(1, TCP)),
        row(out(0, 1, damage=bits)),
        row(out(1, 0, damage=bits + 7)),
        row(out(1, 0, TCP, damage=bits)),
        row(out(0, 1, TCP), back(1, TCP, damage=bits)),
        row(out(0, 0, summed=False), back(0, summed=False)),
        row(out(1, 1, summed=False)),
        row(zero(a)),
        row(zero(b)),
        row(zero(a, TCP)),
        row(out(0, 2, TCP), out(0, 2, TCP, data=b""), back(2, TCP, data=b"")),
    ]


def _time(s: Scene) -> list[Question]:
    def out(after_s: int, host: int = 0, far: int = 0, protocol: int = UDP) -> Step:
        return s.out(TIME, after_s, host, far, protocol=protocol)

    def back(after_s: int, far: int = 0, protocol: int = UDP, place: int = 0) -> Step:
        return s.back(TIME, after_s, far, place, protocol)

    def row(ports: int, *steps: Step) -> Question:
        return s.row(TIME, ports, *steps, source=TIMES)

    late = 121 + s.ports[0] % 60
    hours = 7441 + s.ports[0] % 60
    return [
        row(2, out(0), back(119), back(120)),
        row(2, out(0), back(119)),
        row(2, out(0, 1, 1), back(120, 1)),
        row(1, out(0), out(119, 1), out(120, 1), back(121)),
        row(1, out(0, 2), out(late, 1), out(late, 2)),
        row(1, out(0), out(late, 1)),
        row(2, out(0), out(100), back(130)),
        row(2, out(0), out(60, 1), out(125, 2), back(126), out(127)),
        row(2, out(0), out(0, 1), out(100, 1), out(130), back(131)),
        row(2, out(0, 1, 2), out(100, 1, 2), back(219, 2), back(220, 2)),
        row(2, out(0), out(70, 0, 1), back(150), back(189, 1), back(190, 1)),
        row(2, out(0), back(60), back(late)),
        row(2, out(0, 1, 1), back(110, 1), back(119, 1), back(late + 40, 1)),
        row(2, out(0), out(late), back(late + 1)),
        row(2, out(0, 0, 1), out(late, 0, 2), back(late + 1, 1), back(late + 1, 2)),
        row(2, out(0, 0, 0, TCP), back(late, 0, TCP), back(7439, 0, TCP)),
        row(2, out(0, 1, 0, TCP), back(7440, 0, TCP)),
        row(1, out(0, 1, 1, TCP), out(late, 2, 1, TCP), out(hours, 2, 1, TCP)),
        row(1, out(0), out(1, 1), out(2, 2, 2), out(3)),
        row(2, out(0, 1), out(1, 2), out(2, 0), out(3, 2, 1), back(4, 1, place=1)),
        row(1, out(0, 0, 1), out(5, 1), back(6, 1)),
    ]


def _errors(s: Scene) -> list[Question]:
    there, router = s.far[0], s.far[2]
    port = PORTS_FAR[ERRORS]

    def row(*steps: Step) -> Question:
        return s.row(ERRORS, 2, *steps, source=QUOTES)

    def out(host: int = 0, summed: bool = False) -> Step:
        return s.out(ERRORS, 0, host, 0, summed=summed)

    def about(
        kind: int, code: int, place: int = 0, by: str = there, *, summed: bool = False,
        octets: int = 28,
    ) -> Step:  # fmt: skip
        quoted = packet(UDP, (s.outside, s.ports[place]), (there, port), s.data, summed=summed)
        return ("inward", s.start_s + 1, error(kind, code, by, s.outside, quoted, octets))

    return [
        row(out(), about(3, 3)),
        row(out(1), about(3, 1)),
        row(out(1), about(3, 0)),
        row(out(), about(3, 10)),
        row(out(), about(3, 4)),
        row(out(1), about(11, 0)),
        row(out(), about(12, 0)),
        row(out(), out(1), about(3, 3), about(3, 3, 1)),
        row(out(), about(11, 0, by=router)),
        row(out(1), about(3, 13, by=router)),
        row(out(summed=True), about(3, 3, summed=True)),
        row(out(1, summed=True), about(3, 9, summed=True)),
        row(out(), about(3, 2, 1)),
        row(out(1), about(3, 3, octets=28 + len(s.data))),
    ]


PUBLIC_SCENE = Scene(
    "203.0.113.5",
    (40_003, 40_001, 40_002),
    (("192.0.2.17", 5123), ("192.0.2.34", 6001), ("192.0.2.50", 5999)),
    ("198.51.100.9", "198.51.100.77", "198.51.100.130"),
    0,
    b"crossing",
)


def _all(back: Scene, sums: Scene, time: Scene, errors: Scene) -> list[Question]:
    return [*_back(back), *_sums(sums), *_time(time), *_errors(errors)]


TRANSLATORS = tuple(_all(PUBLIC_SCENE, PUBLIC_SCENE, PUBLIC_SCENE, PUBLIC_SCENE))


def translator_questions(rng: random.Random) -> list[Question]:
    """Draw addresses, ports and times, anew for each aspect, and half of the rows."""
    return half_of(rng, _all(_scene(rng), _scene(rng), _scene(rng), _scene(rng)))


def _scene(rng: random.Random) -> Scene:
    low, middle, high = sorted(rng.sample(range(41_000, 60_000), 3))
    ports = rng.sample(range(2_000, 9_000), 3)
    hosts = rng.sample(range(1, 255), 3)
    return Scene(
        f"203.0.113.{rng.randint(1, 99)}",
        (high, low, middle),
        tuple((f"192.0.2.{host}", port) for host, port in zip(hosts, ports, strict=True)),
        tuple(f"198.51.100.{host}" for host in rng.sample(range(1, 255), 3)),
        rng.randint(1, 900),
        bytes(rng.choices(b"abcdefghijklmnopqrstuvwxyz", k=2 * rng.randint(3, 8))),
    )
