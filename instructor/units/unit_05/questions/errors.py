"""Questions about errors and what they quote (5.5).

Padding, options, odd lengths and packets that have to be cut stand in "quote" alone; there and in
"header" the time to live is used up. What a packet carries is an echo that folds to 0xFFFF, but in
some of "quote", where it must be seen in the checksum. Later fragments never cause an error
(RFC 1812, section 4.3.2.7), so none are asked about.
"""

__all__ = ["BUILD_ERROR", "error_questions"]

import random
from typing import Any

from instructor.units.items import Question
from instructor.units.unit_05.answers import with_checksum
from instructor.units.unit_05.case_parts import ask, ip_packet, octets, printed

HEADER, KIND, QUOTE = "header", "type and code", "quote"
EXCEEDED, NEEDED = "time exceeded", "fragmentation needed"
NET, HOST = "net unreachable", "host unreachable"
OURS, SENDER, RECEIVER = "198.51.100.1", "198.51.100.2", "203.0.113.9"
NETS = ("192.0.2.", "198.51.100.", "203.0.113.")
LAYOUT = "RFC 792, page 6; the message as Scapy builds it"
UDP = bytes.fromhex("9c40829a000ce2e6") + bytes(4)


def _echo(data: bytes = b"", number: int = 1) -> bytes:
    """Return an echo, whose words fold to 0xFFFF."""
    rest = number.to_bytes(2, "big") + b"\0\1" + data
    return with_checksum(b"\x08\0\0\0" + rest, 2)


def _packet(
    carried: bytes | None = None,
    *,
    source: str = SENDER,
    time_to_live: int = 1,
    flags: int = 0,
    padded: int = 0,
    **fields: Any,
) -> bytes:
    """Build a packet for a boat whose header passes all checks."""
    carried = _echo() if carried is None else carried
    usual: dict[str, Any] = {"source": source, "destination": RECEIVER, "hops": time_to_live}
    return ip_packet(carried, **usual, fragment=flags << 13, **fields) + bytes(padded)


def _error(aspect: str, packet: bytes, reason: str = EXCEEDED, *more: Any) -> Question:
    return ask(aspect, packet, reason, *(more or (OURS,)))


def _sum_of_header(source: str, ours: str) -> int:
    """Return the sum of the error's header without its length and checksum, carries and all."""
    header = b"\x45\xc0" + bytes(6) + b"\x40\x01" + octets(ours) + octets(source)
    return sum(int.from_bytes(header[n : n + 2], "big") for n in range(0, len(header), 2))


def _corner(rng: random.Random, *, is_zero: bool) -> Question:
    """Draw a case whose header checksum is 0, or one in which folding takes two turns."""
    while True:
        ours, source = rng.choice(NETS) + "1", rng.choice(NETS) + str(rng.randint(2, 254))
        rest = _sum_of_header(source, ours)
        # Data of zeros change the length alone: of the packet, all of which is quoted.
        for octets_more in range(0, 500, 2):
            total = rest + 28 + 28 + octets_more
            once = (total & 0xFFFF) + (total >> 16)
            if (once == 0xFFFF) if is_zero else (once > 0xFFFF):
                packet = _packet(_echo(bytes(octets_more)), source=source)
                return _error(HEADER, packet, EXCEEDED, ours)


_FW_14 = bytes.fromhex("45000020 00010000 0111bbb8 c000020a cb007109") + UDP
_FW_14_ERROR = bytes.fromhex("45c0003c000000004001f5f5c0000201c000020a 0b00f33100000000") + _FW_14
_STILL = random.Random(55)

BUILD_ERROR = (
    _error(HEADER, _packet()),
    _error(HEADER, _packet(source="192.0.2.7"), EXCEEDED, "203.0.113.200"),
    _error(HEADER, _packet(service=0x10)),
    _error(HEADER, _packet(identification=0x1C46)),
    _error(HEADER, _packet(flags=2)),
    _error(HEADER, _packet(flags=1)),
    _error(HEADER, _packet(identification=7, flags=2, service=0xB8)),
    _error(HEADER, _packet(time_to_live=0)),
    _corner(_STILL, is_zero=True),
    _corner(_STILL, is_zero=False),
    _error(KIND, _packet()),
    _error(KIND, _packet(time_to_live=64), NET),
    _error(KIND, _packet(time_to_live=64), HOST),
    _error(KIND, _packet(time_to_live=17, source="192.0.2.7", identification=0x1C46), HOST),
    _error(KIND, _packet(flags=2, time_to_live=64), NEEDED, OURS, 1400),
    _error(KIND, _packet(flags=2, time_to_live=9), NEEDED, OURS, 576),
    _error(KIND, _packet(flags=2, time_to_live=9), NEEDED, OURS, 65535),
    _error(KIND, _packet(flags=2, time_to_live=9), NEEDED, OURS, 68),
    _error(KIND, _packet(), EXCEEDED, OURS, 1500),
    _error(KIND, _packet(time_to_live=64), NET, OURS, 1400),
    _error(KIND, _packet(time_to_live=64), HOST, OURS, 296),
    printed(QUOTE, LAYOUT, _FW_14_ERROR, _FW_14, EXCEEDED, "192.0.2.1"),
    _error(QUOTE, _packet(UDP, protocol=17)),
    _error(QUOTE, _packet(UDP[:8], protocol=17)),
    _error(QUOTE, _packet(b"")),
    _error(QUOTE, _packet(padded=18)),
    _error(QUOTE, _packet(padded=18, service=0x10)),
    _error(QUOTE, _packet(padded=4)),
    _error(QUOTE, _packet(UDP[:8], protocol=17)[:28] + b"\x99" * 18),
    _error(QUOTE, _packet(options=bytes.fromhex("07070400 00000000"))),
    _error(QUOTE, _packet(_echo(bytes(60)), options=b"\1\1\1\0", flags=2)),
    _error(QUOTE, _packet(_echo(b"a"))),
    _error(QUOTE, _packet(_echo(b"abcdefg", 9))),
    _error(QUOTE, _packet(_echo(bytes(519) + b"\x81"))),
    _error(QUOTE, _packet(_echo(bytes(520) + b"\x81"))),
    _error(QUOTE, _packet(_echo(bytes(1472)))),
    _error(QUOTE, _packet(_echo(bytes(560)))),
    _error(QUOTE, _packet(bytes(range(1, 251)) * 4, protocol=17, padded=3)),
    _error(QUOTE, _packet(_echo(bytes(900)), options=b"\1\1\1\0")),
)  # fmt: skip


def error_questions(rng: random.Random) -> list[Question]:
    """Draw packets that end here, short and long, and reasons for it."""
    here, source = (rng.choice(NETS) + str(host) for host in rng.sample(range(2, 255), 2))
    first = here.rpartition(".")[0] + ".1"

    def packet(carried: bytes | None = None, **fields: Any) -> bytes:
        usual: dict[str, Any] = {"source": source, "time_to_live": 1} | fields
        return _packet(_echo(number=rng.randint(1, 99)) if carried is None else carried, **usual)

    def error(aspect: str, given: bytes, reason: str = EXCEEDED, *mtu: int) -> Question:
        return ask(aspect, given, reason, here if aspect == HEADER else first, *mtu)

    zeros = bytes(rng.randrange(0, 200, 2))
    loud = rng.randbytes(rng.randrange(9, 90) * 2) + b"\x7b"
    options = rng.choice((b"\1\1\1\0", bytes.fromhex("07070400 00000000"), b"\1" * 11 + b"\0"))
    return [
        error(HEADER, packet(_echo(zeros))),
        error(HEADER, packet(service=rng.randint(1, 0xBF))),
        error(HEADER, packet(identification=rng.randint(1, 0xFFFF))),
        error(HEADER, packet(flags=rng.choice((1, 2)))),
        error(HEADER, packet(_echo(zeros), flags=2, identification=rng.randint(1, 0xFFFF))),
        _corner(rng, is_zero=True),
        _corner(rng, is_zero=False),
        error(KIND, packet(identification=rng.randint(1, 0xFFFF))),
        error(KIND, packet(time_to_live=rng.randint(2, 255)), NET),
        error(KIND, packet(time_to_live=rng.randint(2, 255)), HOST),
        error(KIND, packet(flags=2, time_to_live=64), NEEDED, rng.randint(257, 9000) | 1),
        error(KIND, packet(flags=2, time_to_live=64), NEEDED, rng.randint(68, 255)),
        error(KIND, packet(), EXCEEDED, rng.randint(68, 9000)),
        error(KIND, packet(time_to_live=64), NET, rng.randint(68, 9000)),
        error(KIND, packet(time_to_live=64), HOST, rng.randint(68, 9000)),
        error(QUOTE, packet(rng.randbytes(7) + b"\x55", protocol=17)),
        error(QUOTE, packet(rng.randbytes(2 * rng.randint(6, 90)) + b"\x12\x34", protocol=17)),
        error(QUOTE, packet(_echo(zeros), padded=2 * rng.randint(1, 9))),
        error(QUOTE, packet(padded=18, service=rng.randint(1, 0xBF))),
        error(QUOTE, packet(rng.randbytes(8), protocol=17) + rng.randbytes(11) + b"\x99"),
        error(QUOTE, packet(_echo(zeros), options=options)),
        error(QUOTE, packet(_echo(loud), identification=rng.randint(1, 0xFFFF), flags=2)),
        error(QUOTE, packet(_echo(bytes(519) + rng.randbytes(1) + b"\x81"))),
        error(QUOTE, packet(_echo(bytes(519) + b"\x81"))),
        error(QUOTE, packet(_echo(bytes(2 * rng.randint(262, 700))))),
        error(QUOTE, packet(rng.randbytes(rng.randint(600, 1400)), protocol=17)),
        error(QUOTE, packet(_echo(bytes(2 * rng.randint(270, 700))), options=options)),
    ]  # fmt: skip
