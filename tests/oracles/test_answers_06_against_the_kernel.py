"""The model answers of unit 06, this machine's kernel and the library's router treat packets alike.

The kernel forwards in namespaces of its own: see `kernel_comparison`.
"""

import random

import pytest

from course_lib.forwarding.verdicts import SlowPathTask
from course_lib.headers.errors import Reason
from instructor.units.unit_06.answers import first_fault, rewrite_frame, why_slow
from networks.forwarding_scene import (
    HARBOUR,
    ISLAND,
    NORTH_PIER,
    NORTH_PIER_AT_SEA,
    OFFICE,
    OFFICE_MAC,
    PLOVER,
    PLOVER_MAC,
    SEA,
    address,
    datagram,
    frame,
    give,
    north_pier,
)
from networks.kernel_comparison import SEA_MTU, Given, ask_kernel

PACKETS = 200
OUT = (SEA, NORTH_PIER_AT_SEA.to_bytes(4, "big")), (PLOVER_MAC, PLOVER.to_bytes(4, "big"))
REASONS = {
    SlowPathTask.DELIVER: "for the router",
    Reason.NO_ROUTE: "no route",
    Reason.TIME_EXCEEDED: "time to live exceeded",
    SlowPathTask.OPTIONS: "options",
    SlowPathTask.FRAGMENT: "too large",
    SlowPathTask.RESOLVE: "unknown neighbour",
}


def spoilt(rng: random.Random, data: bytes) -> bytes:
    """Change one octet of the header, its identification left alone, or cut the end off."""
    if rng.random() < 0.3:
        return data[: rng.randrange(1, len(data))]
    place = rng.choice([0, 2, 3, 8, 10, 11])
    return data[:place] + bytes([data[place] ^ 1 << rng.randrange(8)]) + data[place + 1 :]


def given_packets(rng: random.Random) -> list[Given]:
    """Draw packets for an island: two in three are sound, and some of these are padded."""
    given = []
    for tag in range(1, PACKETS + 1):
        data = datagram(
            rng.randbytes(rng.choice([0, 1, 8, 200])),
            identification=tag,
            time_to_live=rng.choice([1, 2, 3, 64, 255]),
            destination=ISLAND + rng.randrange(3),
            type_of_service=rng.randrange(256),
        )
        data = spoilt(rng, data) if tag % 3 == 0 else data
        given.append(Given(tag, "harbour", frame(data).ljust(rng.choice([0, 60]), b"\0")))
    return given


def forwarded_by_answers(octets: bytes) -> bytes | None:
    """Return what goes out to the sea according to 6.1 and 6.2, None if nothing does."""
    if first_fault(octets[14:]) is not None or octets[22] <= 1:
        return None
    return rewrite_frame(octets, *OUT)


def test_what_the_kernel_forwards_is_what_the_answers_make():
    given = given_packets(random.Random(6))
    by_kernel = [octets for _, interface, octets in ask_kernel(given) if interface == "sea"]
    expected = [out for out in map(forwarded_by_answers, (one.octets for one in given)) if out]
    assert by_kernel == expected
    assert 0.3 * PACKETS < len(expected) < 0.8 * PACKETS


def header_for(rng: random.Random) -> bytes:
    payload = bytes(rng.choice([0, 8, SEA_MTU - 20, SEA_MTU - 19]))
    return datagram(
        payload, time_to_live=rng.choice([0, 1, 2, 64]), options=rng.choice([b"", b"\1\1\1\0"]),
        destination=rng.choice([ISLAND, PLOVER, NORTH_PIER, NORTH_PIER_AT_SEA,
                                address("198.51.100.9"), address("192.0.2.200") + (1 << 24)]),
    )  # fmt: skip


@pytest.mark.parametrize("seed", range(3))
def test_a_packet_leaves_the_fast_path_for_the_reason_that_the_answer_tells(seed):
    """The library's router is held against the kernel in test_forwarding_against_the_kernel."""
    rng = random.Random(seed)
    seen = set()
    for _ in range(200):
        data = header_for(rng)
        told = why_slow(
            data[: 4 * (data[0] & 15)],
            ["192.0.2.1", "198.51.100.1"],
            [("192.0.2.0/24", None, "harbour"), ("198.51.100.0/24", None, "sea"),
             ("203.0.113.0/24", "198.51.100.2", "sea")],
            {"harbour": 1500, "sea": SEA_MTU},
            ["192.0.2.7", "198.51.100.2"],
        )  # fmt: skip
        router = north_pier(SEA_MTU)
        give(router, data)
        left = [*router.counters.tasks, *router.counters.dropped]
        assert told == (REASONS[left[0]] if left else None)
        assert router.counters.left_fast_path == (told is not None)
        seen.add(told)
    assert seen == {None, *REASONS.values()}


def test_the_scene_is_the_one_that_the_answers_are_told():
    router = north_pier(SEA_MTU)
    assert router.interfaces["sea"].hardware_address == OUT[0][0]
    assert router.neighbours["sea"].find(0.0, PLOVER) == OUT[1][0]
    assert router.neighbours["harbour"].find(0.0, OFFICE) == OFFICE_MAC
    assert router.interfaces["harbour"].hardware_address == HARBOUR
