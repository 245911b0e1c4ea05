"""Unit 02, with the standard library."""

# ruff: noqa: B905, UP032  # habits of whoever wrote this

import array
import functools
import ipaddress
import struct
import sys
from itertools import islice


def fold(total):
    return total and (total - 1) % 0xFFFF + 1


def words(data):
    out = array.array("H", data)
    if sys.byteorder == "little":
        out.byteswap()
    return out


def header_checksum(packet):
    (first,) = struct.unpack_from("B", packet)
    values = list(words(packet[: 4 * (first % 16)]))
    del values[5]
    return ~fold(sum(values)) & 0xFFFF


def is_header_intact(packet):
    n = packet[0] % 16 * 2
    return fold(sum(struct.unpack_from(f">{n}H", packet))) == 65535


def udp_checksum(source, destination, datagram):
    pseudo = struct.pack(
        "!4s4sxBH",
        ipaddress.IPv4Address(source).packed,
        ipaddress.IPv4Address(destination).packed,
        17,
        len(datagram),
    )
    body = bytearray(datagram)
    struct.pack_into("!H", body, 6, 0)
    if len(body) & 1:
        body.append(0)
    check = fold(sum(words(pseudo)) + sum(words(bytes(body)))) ^ 0xFFFF
    return 0xFFFF if check == 0 else check


def lower_time_to_live(header):
    ttl = header[8]
    if ttl in (0, 1):
        raise ValueError("cannot go on")
    out = bytearray(header)
    out[8] -= 1
    struct.pack_into("!H", out, 10, 0)
    struct.pack_into("!H", out, 10, header_checksum(bytes(out)))
    return bytes(out)


def missed_pairs(header):
    rows = ["{:016b}".format(w) for w in words(header)]
    columns = zip(*rows)
    pairs = (c.count("0") * c.count("1") for c in columns)
    return functools.reduce(lambda a, b: a + b, islice(pairs, 16), 0)
