"""Other right answers for exercise 12.4, each in a way of its own."""

__all__ = ["OTHERS"]

import struct
from collections.abc import Callable
from ipaddress import IPv4Address
from types import SimpleNamespace
from typing import Any

LIVES = {17: 120, 6: 7440}


# Packets as lists of words of 16 bits


def words_of(octets: bytes) -> list[int]:
    """Return words; a last half one is filled up."""
    padded = octets + bytes(len(octets) % 2)
    return list(struct.unpack(f">{len(padded) // 2}H", padded))


def put(words: list[int], at: int, sums: list[int], new: int) -> None:
    """Change a word, and the words that are checksums with it: RFC 1624, equation 4."""
    old = words[at]
    words[at] = new
    for place in sums:
        value = words[place] - (0xFFFF - old) - new
        while value < 0:
            value += 0xFFFF  # a borrow comes back at the other end
        words[place] = value


def translate(words: list[int], start: int, what: str, address: list[int], port: int) -> None:
    """Translate the header from word `start` on."""
    udp = words[start + 4] & 0xFF == 17
    inner = start + (13 if udp else 18)
    sums = [] if udp and words[inner] == 0 else [inner]
    at, port_at = (start + 6, start + 10) if what == "source" else (start + 8, start + 11)
    put(words, at, [start + 5, *sums], address[0])
    put(words, at + 1, [start + 5, *sums], address[1])
    put(words, port_at, sums, port)
    if udp and sums and words[inner] == 0:
        words[inner] = 0xFFFF


class TranslatorOfWords:
    """Two dictionaries, one each way; a third one for the last use."""

    def __init__(self, outside: str, ports: list[int]) -> None:
        self.address = words_of(IPv4Address(outside).packed)
        self.ports = tuple(ports)
        self.out: dict[tuple[int, ...], int] = {}
        self.back: dict[tuple[int, int], tuple[int, ...]] = {}
        self.last: dict[tuple[int, int], float] = {}
        self.asked: set[tuple[int, ...]] = set()

    def clean(self, now: float) -> None:
        """Remove mappings that nobody used."""
        for key, used in list(self.last.items()):
            if now >= used + LIVES[key[0]]:
                del self.out[self.back[key]], self.back[key], self.last[key]
                self.asked = {one for one in self.asked if one[:2] != key}

    def outward(self, now: float, packet: bytes) -> bytes | str:
        """Translate the source."""
        self.clean(now)
        words = words_of(packet)
        protocol = words[4] & 255
        who = (protocol, *words[6:8], words[10])
        if who not in self.out:
            left = [port for port in self.ports if (protocol, port) not in self.back]
            if not left:
                return "full"
            self.out[who] = left[0]
            self.back[protocol, left[0]] = who
        port = self.out[who]
        self.last[protocol, port] = now
        self.asked.add((protocol, port, *words[8:10]))
        translate(words, 0, "source", self.address, port)
        return struct.pack(f">{len(words)}H", *words)[: len(packet)]

    def inward(self, now: float, packet: bytes) -> bytes | str:
        """Translate the destination."""
        self.clean(now)
        words = words_of(packet)
        protocol = words[4] & 255
        is_error = protocol == 1
        key = (17, words[24]) if is_error else (protocol, words[11])
        who = self.back.get(key)
        if who is None:
            return "no mapping"
        if is_error:
            before = words[14:28]
            translate(words, 14, "source", list(who[1:3]), who[3])
            for old, new in zip(before, words[14:28], strict=True):
                spare = [old, words[11]]
                put(spare, 0, [1], new)
                words[11] = spare[1]
            put(words, 8, [5], who[1])
            put(words, 9, [5], who[2])
        elif (*key, *words[6:8]) not in self.asked:
            return "stranger"
        else:
            translate(words, 0, "destination", list(who[1:3]), who[3])
        return struct.pack(f">{len(words)}H", *words)[: len(packet)]


# Checksums as numbers modulo 65535


def shifted(field: bytes, old: bytes, new: bytes) -> bytes:
    """Return a checksum after a change: sums are remainders of 0xFFFF."""
    total = (~int.from_bytes(field, "big") & 0xFFFF) + int(new.hex(), 16) - int(old.hex(), 16)
    rest = total % 0xFFFF or 0xFFFF  # there is no change after which nothing but zeros is left
    return (0xFFFF - rest).to_bytes(2, "big")


def replaced(packet: bytes, *changes: tuple[int, bytes]) -> bytes:
    """Put octets at places."""
    for at, new in changes:
        packet = packet[:at] + new + packet[at + len(new) :]
    return packet


def with_end(packet: bytes, at: int, port_at: int, address: bytes, port: bytes) -> bytes:
    """Put an end in."""
    old = packet[at : at + 4] + packet[port_at : port_at + 2]
    where = 26 if packet[9] == 17 else 36
    field = packet[where : where + 2]
    if packet[9] != 17:
        field = shifted(field, old, address + port)
    elif any(field):
        field = shifted(field, old, address + port)
        field = field if any(field) else b"\xff\xff"
    head = shifted(packet[10:12], old[:4], address)
    return replaced(packet, (at, address), (port_at, port), (10, head), (where, field))


def translator_of_closures(outside: str, ports: list[int]) -> SimpleNamespace:
    """Keep a place for each protocol and port, and what stands in it."""
    own = bytes(map(int, outside.split(".")))
    places: dict[tuple[int, int], dict[str, Any] | None] = {
        (protocol, port): None for protocol in LIVES for port in ports
    }

    def standing(now: float, key: tuple[int, int]) -> dict[str, Any] | None:
        place = places.get(key)
        return place if place and now < place["until"] else None

    def outward(now: float, packet: bytes) -> Any:
        protocol = packet[9]
        keys = [key for key in places if key[0] == protocol]
        who = packet[12:16], packet[20:22]
        mine = [key for key in keys if (standing(now, key) or {}).get("who") == who]
        free = [key for key in keys if standing(now, key) is None]
        if not mine + free:
            return "full"
        key = (mine + free)[0]
        place = standing(now, key) or {"who": who, "friends": []}
        place["until"] = now + LIVES[protocol]
        place["friends"].append(packet[16:20])
        places[key] = place
        return with_end(packet, 12, 20, own, key[1].to_bytes(2, "big"))

    def inward(now: float, packet: bytes) -> Any:
        if packet[9] == 1:
            place = standing(now, (17, int.from_bytes(packet[48:50], "big")))
            return "no mapping" if place is None else told(packet, *place["who"])
        place = standing(now, (packet[9], int.from_bytes(packet[22:24], "big")))
        if place is None:
            return "no mapping"
        if packet[12:16] not in place["friends"]:
            return "stranger"
        return with_end(packet, 16, 22, *place["who"])

    def told(packet: bytes, address: bytes, port: bytes) -> bytes:
        quote = packet[28:56]
        again = with_end(quote, 12, 20, address, port)
        return replaced(
            packet,
            (16, address),
            (10, shifted(packet[10:12], packet[16:20], address)),
            (22, shifted(packet[22:24], quote, again)),
            (28, again),
        )

    return SimpleNamespace(outward=outward, inward=inward)


# A log, read anew for each packet


class TranslatorOfHistory:
    """Remember all that went out, and work out from it who has which port."""

    def __init__(self, outside: str, ports: list[int]) -> None:
        self.outside = int(IPv4Address(outside)).to_bytes(4, "big")
        self.ports = ports[:]
        self.log: list[tuple[float, int, bytes, bytes]] = []

    def table(self, now: float, protocol: int) -> dict[int, tuple[bytes, float, set[bytes]]]:
        """Return who has which port by now."""
        found: dict[int, tuple[bytes, float, set[bytes]]] = {}
        for then, which, who, whom in self.log:
            if which != protocol:
                continue
            found = self.fresh(found, then, protocol)
            port = self.port_of(found, who)
            _, _, friends = found.get(port, (who, then, set()))
            found[port] = (who, then, friends | {whom})
        return self.fresh(found, now, protocol)

    def fresh(self, found: dict[int, Any], now: float, protocol: int) -> dict[int, Any]:
        """Leave out what is old."""
        return {port: way for port, way in found.items() if now - way[1] < LIVES[protocol]}

    def port_of(self, found: dict[int, Any], who: bytes) -> int:
        """Return the port of an inside end: its own, or a free one, or 0."""
        own = [port for port, way in found.items() if way[0] == who]
        return (own + [port for port in self.ports if port not in found] + [0])[0]

    def outward(self, now: float, packet: bytes) -> bytes | str:
        """Note it, unless there is no room."""
        who = packet[12:16] + packet[20:22]
        port = self.port_of(self.table(now, packet[9]), who)
        if port == 0:
            return "full"
        self.log.append((now, packet[9], who, packet[16:20]))
        return with_end(packet, 12, 20, self.outside, struct.pack(">H", port))

    def inward(self, now: float, packet: bytes) -> bytes | str:
        """Look it up."""
        quote = packet[28:] if packet[9] == 1 else b""
        protocol, port = (17, quote[20:22]) if quote else (packet[9], packet[22:24])
        table = self.table(now, protocol)
        number = int.from_bytes(port, "big")
        if number not in table:
            return "no mapping"
        who, _, friends = table[number]
        if not quote:
            known = packet[12:16] in friends
            return with_end(packet, 16, 22, who[:4], who[4:]) if known else "stranger"
        inner = with_end(quote[:28], 12, 20, who[:4], who[4:])
        outer = shifted(packet[10:12], packet[16:20], who[:4])
        sum_ = shifted(packet[22:24], quote[:28], inner)
        return (packet[:10] + outer + packet[12:16] + who[:4] + packet[20:22] + sum_
                + packet[24:28] + inner + quote[28:])  # fmt: skip


OTHERS: tuple[Callable[..., Any], ...] = (
    TranslatorOfWords,
    translator_of_closures,
    TranslatorOfHistory,
)
