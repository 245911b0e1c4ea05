"""How questions of the concept test are answered by the course's own code, right and wrong ones.

For each question: what its exercise is given in form A and in form B, and how the words of a choice
come out of what the exercise's answer returns.
"""

import contextlib
from collections.abc import Callable
from ipaddress import ip_address
from typing import Any, NamedTuple

from course_lib.checksum import checksum
from course_lib.runner.drivers import DRIVERS
from instructor.units.items import item

TIME_TO_LIVE = 14 + 8  # its octet in a frame


class Computed(NamedTuple):
    """One question: `given` are the arguments in both forms, `read` makes words of a result.

    With `several`, each form gives many frames, and `read` gets the times to live of those that are
    sent on.
    """

    given: tuple[tuple[Any, ...], tuple[Any, ...]]
    read: Callable[[Any], str]
    several: bool = False


def answered(exercise: str, question: Computed, form: int, belief: str = "") -> str:
    """Return what the model answer says in words, or an answer with a belief."""
    one = item(exercise)
    function = one.misconceptions[belief] if belief else one.answer
    driver = DRIVERS[one.exercise.driver]
    if not question.several:
        return question.read(driver(function, *question.given[form]))
    taken = []
    for arguments in question.given[form]:
        with contextlib.suppress(ValueError):
            driver(function, *arguments)
            taken.append(str(arguments[0][TIME_TO_LIVE]))
    return question.read(taken)


def header(words: str, *more: bytes) -> bytes:
    """Return a header from hexadecimal, with its checksum put in where it says `sum`."""
    octets = bytes.fromhex(words.replace("sum", "0000"))
    length = 4 * (octets[0] & 15)
    filled = octets[:10] + checksum(octets[:length]).to_bytes(2) + octets[12:]
    return (filled if "sum" in words else octets) + b"".join(more)


def octet_count(number: int) -> str:
    return f"{number:,}"


def word(number: int) -> str:
    return f"0x{number:04X}"


def hexadecimal(text: str) -> bytes:
    return bytes.fromhex(text)


def frame(time_to_live: int) -> tuple[Any, ...]:
    """Return what exercise 6.2 is given: a frame, where it leaves, and who is next."""
    front = hexadecimal("00005e005301 00005e005302 0800")
    packet = header(f"4500 0014 0000 0000 {time_to_live:02x}11 sum c6336402 cb007102")
    interface = (hexadecimal("00005e005310"), hexadecimal("c0000208"))
    return front + packet, interface, (hexadecimal("00005e005311"), hexadecimal("c0000209"))


def listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def ratio(got: list[Any]) -> str:
    first, second = (sum(one[1] for one in got if one and one[0] == queue) for queue in (0, 1))
    return f"first to second as {first / second:g} to 1"


COMPUTED = {
    "offset-unit": Computed(((0x20B9,), (0x2172,)), lambda got: f"{got[2]:,}"),
    "total-length": Computed(
        (
            (header("4600 003c 0001 0000 4011 sum c6336402 cb007102 01010100", bytes(80)),),
            (header("4700 0050 0001 0000 4011 sum c6336402 cb007102 0101010001010100", bytes(80)),),
        ),
        lambda got: str(len(got["payload"])),
    ),
    "carries": Computed(((0x1FFFF,), (0x2FFFE,)), word),
    "complement": Computed(
        (
            (hexadecimal("4500007300004000401100006f390001c0a800c7"),),
            (hexadecimal("450000300000400080060000c6336402cb007102"),),
        ),
        word,
    ),
    "one-hop-sum": Computed(
        (
            (header("4500 0073 0000 4000 4011 sum c0a80001 c0a800c7"),),
            (header("4500 0030 4422 4000 8006 sum 8c7c19ac ae241e2b"),),
        ),
        lambda got: word(int.from_bytes(got[10:12])),
    ),
    "time-to-live": Computed(
        (tuple(map(frame, (0, 1, 2, 3))), tuple(map(frame, (0, 1, 2, 64)))), listed, several=True
    ),
    "link-ends": Computed(
        (("192.0.2.100", 26), ("198.51.100.200", 27)), lambda got: f"{got[1]} to {got[2]}"
    ),
    "hosts": Computed((("192.0.2.9", 27), ("203.0.113.77", 28)), lambda got: str(got[3])),
    "mask": Computed((("198.51.100.7", 20), ("203.0.113.7", 21)), lambda got: got[0]),
    "neighbours": Computed(
        (
            ("192.0.2.10/24", "192.0.2.140/25", []),
            ("198.51.100.200/25", "198.51.100.9/24", []),
        ),
        lambda got: {
            (True, False): "the first one",
            (False, True): "the second one",
            (True, True): "both",
            (False, False): "neither",
        }[got[:2]],
    ),
    "halves": Computed(
        tuple(
            ([(prefix, "Reed") for prefix in prefixes.split()],)
            for prefixes in (
                "192.0.2.32/27 192.0.2.64/27 192.0.2.96/27",
                "203.0.113.16/28 203.0.113.32/28 203.0.113.48/28",
            )
        ),
        lambda got: ", ".join(prefix for prefix, _ in got),
    ),
    "longest": Computed(
        (
            (
                [
                    ("0.0.0.0/0", "Plover", 1),
                    ("198.51.100.0/24", "Reed", 0),
                    ("198.51.100.64/26", "Gull", 5),
                    ("198.51.100.0/25", "North", 2),
                ],
                "198.51.100.70",
            ),
            (
                [
                    ("0.0.0.0/0", "Gull", 1),
                    ("203.0.113.0/24", "Plover", 0),
                    ("203.0.113.128/26", "North", 5),
                    ("203.0.113.128/25", "Reed", 2),
                ],
                "203.0.113.150",
            ),
        ),
        lambda got: got[1],
    ),
    "withdraw": Computed(
        (
            (
                [
                    ["new"],
                    ["insert", "0.0.0.0/0", "Plover"],
                    ["insert", "192.0.2.0/24", "Reed"],
                    ["insert", "192.0.2.64/26", "North"],
                    ["insert", "192.0.2.64/26", "Gull"],
                    ["withdraw", "192.0.2.0/24"],
                    ["look_up", "192.0.2.70"],
                    ["look_up", "192.0.2.9"],
                ],
            ),
            (
                [
                    ["new"],
                    ["insert", "0.0.0.0/0", "Gull"],
                    ["insert", "203.0.113.0/24", "North"],
                    ["insert", "203.0.113.128/26", "Plover"],
                    ["insert", "203.0.113.128/26", "Reed"],
                    ["withdraw", "203.0.113.0/24"],
                    ["look_up", "203.0.113.130"],
                    ["look_up", "203.0.113.9"],
                ],
            ),
        ),
        lambda got: f"{got[-2]}, {got[-1] or 'no way'}",
    ),
    "waiting": Computed(
        tuple(
            (
                [
                    ["new", room],
                    *(["wait", "192.0.2.8", packet] for packet in packets),
                    ["answered", "192.0.2.8"],
                ],
            )
            for room, packets in ((3, "12345"), (4, "123456"))
        ),
        lambda got: ", ".join(got[-1]),
    ),
    "who-is-told": Computed(
        (
            (
                header("4500 001c 0000 0000 0111 sum c6336402 cb007109", bytes(8)),
                "time exceeded",
                "198.51.100.1",
            ),
            (
                header("4500 001c 0000 0000 0111 sum c0000207 cb007109", bytes(8)),
                "time exceeded",
                "192.0.2.1",
            ),
        ),
        lambda got: f"{ip_address(got[12:16])} to {ip_address(got[16:20])}",
    ),
    "distance": Computed(
        (
            ({"Reed Pier": (4, "Gull")}, "Gull", 2, [("Reed Pier", 7)]),
            ({"North Pier": (3, "Plover")}, "Plover", 1, [("North Pier", 8)]),
        ),
        lambda got: str(*(metric for metric, _ in got.values())),
    ),
    "cheapest": Computed(
        (
            (
                [
                    ("Plover", "Reed", 1),
                    ("Plover", "Gull", 5),
                    ("Reed", "North", 1),
                    ("North", "Gull", 1),
                ],
                "Plover",
            ),
            (
                [
                    ("Gull", "North", 2),
                    ("Gull", "Reed", 9),
                    ("North", "Plover", 2),
                    ("Plover", "Reed", 1),
                ],
                "Gull",
            ),
        ),
        # The target is the dearest place, whatever is believed.
        lambda got: "{}, by {}".format(*max((cost, *hops) for cost, hops in got.values())),
    ),
    "wait-in-line": Computed(
        (([0, 3, 4], [10, 6, 2], 5), ([0, 5, 6], [12, 4, 9], 5)), lambda got: f"{got[2]} ms"
    ),
    "shared-line": Computed(
        tuple(
            (
                [
                    ["new", [quantum, quantum]],
                    *([["join", 0, 3 * size]] * 40),
                    *([["join", 1, size]] * 120),
                    *([["send"]] * 60),
                ],
            )
            for quantum, size in ((1000, 500), (600, 300))
        ),
        ratio,
    ),
    "crossing": Computed(
        (([[1, 2], [1, 1, 0], [2, 0]],), ([[0, 2], [0, 0, 1], [2, 1]],)),
        lambda got: listed([str(place) for place, to in enumerate(got[0]) if to is not None]),
    ),
    "under-way": Computed(
        ((100_000_000, 10, 30, 1500), (40_000_000, 15, 25, 1000)), lambda got: f"{got[0]:,}"
    ),
    # 12 kbit a packet: the pipe holds 100 and 200 of them.
    "root-buffer": Computed(((12_000_000, 100, 25, False), (24_000_000, 100, 16, False)), str),
    "acknowledge": Computed(
        (
            ([["new", 1000], ["receive", 1000, 100], ["receive", 1200, 100]],),
            ([["new", 5000], ["receive", 5000, 500], ["receive", 6000, 500]],),
        ),
        lambda got: f"{got[-1]:,}",
    ),
    "slow-start": Computed(
        (([], 6, 8, 100, 3), ([], 5, 4, 100, 3)), lambda got: ", ".join(map(str, got))
    ),
}
