"""Bursts give the same frames as the stages, frame by frame, whatever comes."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from course_lib.forwarding.queue import Queue
from course_lib.live.carrying.burst_path import ONE_BY_ONE, BurstPath, has_plain_stages
from course_lib.live.carrying.plain_frame import PlainFrames
from networks.forwarding_scene import (
    HARBOUR,
    ISLAND,
    NORTH_PIER,
    OFFICE,
    OFFICE_MAC,
    PLOVER,
    address,
    datagram,
    frame,
    north_pier,
    prefix,
)

ROW_OCTETS = 1600
SEA_MTU = 600
ADDRESSES = [
    ISLAND, PLOVER, OFFICE, NORTH_PIER, address("198.51.100.77"), address("198.51.100.255"),
    address("10.9.9.9"), address("224.0.0.5"), address("127.0.0.1"), 0xFFFFFFFF, 0,
]  # fmt: skip


@st.composite
def frames(draw):
    """Mostly plain ones, and others of every kind that leaves the plain way."""
    fields = {
        "destination": draw(st.sampled_from([ISLAND, ISLAND, PLOVER, *ADDRESSES])),
        "source": draw(st.sampled_from([OFFICE, OFFICE, OFFICE, *ADDRESSES])),
        "time_to_live": draw(st.sampled_from([64, 255, 2, 1, 0])),
        "flags": draw(st.sampled_from([0, 0, 2, 4])),
        "identification": draw(st.integers(0, 0xFFFF)),
        "options": draw(st.sampled_from([b"", b"", b"", b"\x01\x01\x01\x00"])),
    }
    data = datagram(bytes(draw(st.integers(0, 700))), **fields)
    to = draw(st.sampled_from([HARBOUR, HARBOUR, HARBOUR, b"\xff" * 6, OFFICE_MAC]))
    whole = frame(data, to, ether_type=draw(st.sampled_from([0x0800, 0x0800, 0x0800, 0x88B5])))
    whole += bytes(draw(st.sampled_from([0, 0, 12])))
    damage = draw(st.sampled_from([None, None, None, 14, 20, 25, 30]))
    if damage is not None and len(whole) > damage:
        whole = whole[:damage] + bytes([whole[damage] ^ 0x41]) + whole[damage + 1 :]
    return whole[: draw(st.sampled_from([len(whole), len(whole), len(whole), 30, 15]))]


def in_rows(given_frames):
    rows = np.full((len(given_frames), ROW_OCTETS), 0xA5, np.uint8)  # left over from before
    for row, each in zip(rows, given_frames, strict=True):
        row[: len(each)] = np.frombuffer(each, np.uint8)
    return rows, np.array([len(each) for each in given_frames])


def carried(router, given_frames, now_s):
    """Carry a burst; return for each frame what is sent because of it."""
    rows, octets = in_rows(given_frames)
    times_s = np.full(len(rows), now_s)
    ways, lengths = BurstPath(router).carry("harbour", rows, octets, times_s)
    names, sent = list(router.interfaces), []
    for place, way in enumerate(ways.tolist()):
        if way == ONE_BY_ONE:
            assert rows[place, : octets[place]].tobytes() == given_frames[place]
            sent.append(router.receive(now_s, "harbour", given_frames[place]))
        else:
            sent.append([(names[way], rows[place, : lengths[place]].tobytes())])
    return sent


@given(st.lists(frames(), min_size=1, max_size=30), st.sampled_from([1.0, 59.0, 61.0, 1000.0]))
def test_a_burst_gives_the_same_frames_as_the_stages(given_frames, now_s):
    by_stages, by_burst = north_pier(SEA_MTU), north_pier(SEA_MTU)
    wanted = [by_stages.receive(now_s, "harbour", each) for each in given_frames]
    assert carried(by_burst, given_frames, now_s) == wanted


@given(st.lists(frames(), min_size=1, max_size=30), st.sampled_from([1.0, 59.0, 61.0, 1000.0]))
def test_single_frames_give_the_same_as_the_stages(given_frames, now_s):
    by_stages, by_short_way = north_pier(SEA_MTU), north_pier(SEA_MTU)
    path = PlainFrames(by_short_way)
    for each in given_frames:
        plain = path.carry(now_s, "harbour", each)
        carried_so = [plain] if plain else by_short_way.receive(now_s, "harbour", each)
        assert carried_so == by_stages.receive(now_s, "harbour", each)


def test_both_short_ways_take_the_same_frames():
    router = north_pier(SEA_MTU)
    table = [
        frame(datagram(bytes(100)), HARBOUR),
        frame(datagram(bytes(100), time_to_live=1), HARBOUR),
        frame(datagram(bytes(SEA_MTU)), HARBOUR),
        frame(datagram(bytes(100), destination=NORTH_PIER), HARBOUR),
        frame(datagram(bytes(100), options=b"\x01\x01\x01\x00"), HARBOUR),
    ]
    ways, _ = BurstPath(router).carry("harbour", *in_rows(table), np.ones(len(table)))
    single = [PlainFrames(router).carry(1.0, "harbour", each) for each in table]
    assert [way != ONE_BY_ONE for way in ways] == [each is not None for each in single]
    assert [each is not None for each in single] == [True, False, False, False, False]


def test_plain_frames_are_carried_at_once():
    router = north_pier()
    given_frames = [frame(datagram(bytes(n), identification=n)) for n in range(40)]
    rows, octets = in_rows(given_frames)
    ways, _ = BurstPath(router).carry("harbour", rows, octets, np.full(40, 1.0))
    assert ways.tolist() == [1] * 40


def test_a_route_that_is_added_later_is_known():
    router = north_pier()
    path = BurstPath(router)
    given_frames = [frame(datagram(destination=address("10.1.2.3")))]
    assert path.carry("harbour", *in_rows(given_frames), np.ones(1))[0].tolist() == [ONE_BY_ONE]
    router.add_route(prefix("10.0.0.0/8"), None, "sea")
    router.neighbours["sea"].keep(address("10.1.2.3"), OFFICE_MAC)
    assert path.carry("harbour", *in_rows(given_frames), np.ones(1))[0].tolist() == [1]


def test_only_the_librarys_own_stages_take_this_way():
    router = north_pier()
    assert has_plain_stages(router)
    router.stages.insert(2, lambda packet: packet)
    assert not has_plain_stages(router)
    assert not has_plain_stages(north_pier(queue=Queue({"sea": 1e6})))
    assert not has_plain_stages(object())
