"""Many headers at once: the same decisions and the same octets as one by one."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.forwarding import batch as batch_module
from course_lib.forwarding.batch import forward_batch
from course_lib.lookup import BinaryTrie, DirectIndex
from networks.forwarding_scene import (
    ISLAND,
    NORTH_PIER,
    OFFICE,
    PLOVER,
    address,
    datagram,
    give,
    north_pier,
    prefix,
)


def rows(datagrams):
    headers = np.frombuffer(b"".join(each[:20] for each in datagrams), np.uint8).reshape(-1, 20)
    return headers, np.array([len(each) for each in datagrams])


def one_by_one(router, data):
    """What the fast path makes of one datagram: the header that is sent, or nothing."""
    before = router.counters.left_fast_path
    frames = give(router, data)
    stayed = router.counters.left_fast_path == before and len(frames) == 1
    return frames[0].frame[14:34] if stayed else None


SPECIAL = [
    "198.51.100.255", "198.51.100.0", "0.0.0.0", "0.0.0.1", "255.255.255.255", "127.0.0.1",
    "224.0.0.1", "240.0.0.1", "10.9.9.9", "192.0.2.77", "223.255.255.255",
]  # fmt: skip
USUAL = st.sampled_from([OFFICE, PLOVER, NORTH_PIER, ISLAND])
ADDRESSES = USUAL | st.sampled_from(SPECIAL).map(address) | st.integers(0, 0xFFFFFFFF)
DAMAGE = st.none() | st.tuples(st.integers(0, 19), st.integers(1, 255))


@st.composite
def datagrams(draw):
    fields = {
        "source": draw(ADDRESSES),
        "destination": draw(st.just(ISLAND) | ADDRESSES),
        "time_to_live": draw(st.sampled_from([0, 1, 2, 64, 255])),
        "protocol": draw(st.integers(0, 255)),
        "identification": draw(st.integers(0, 0xFFFF)),
    }
    data = datagram(bytes(draw(st.sampled_from([0, 10, 580, 581]))), **fields)
    damage = draw(DAMAGE)
    if damage is None:
        return data
    place, change = damage
    return data[:place] + bytes([data[place] ^ change]) + data[place + 1 :]


@given(st.lists(datagrams(), min_size=1, max_size=30))
def test_the_batch_agrees_with_the_fast_path(packets):
    router = north_pier(600)
    batch = forward_batch(router, "harbour", *rows(packets))
    alone = [one_by_one(router, each) for each in packets]
    plain = [
        header.tobytes() if good else None
        for header, good in zip(batch.headers, batch.plain, strict=True)
    ]
    assert plain == alone


GOOD = datagram()
VERSION_6 = b"\x65" + GOOD[1:10] + (GOOD[10] - 0x20).to_bytes() + GOOD[11:]
EDGES = [
    pytest.param(datagram(bytes(8)), True, id="right"),
    pytest.param(datagram(bytes(8)) + bytes(18), True, id="padded"),
    pytest.param(datagram(bytes(8))[:-1], False, id="an-octet-is-missing"),
    pytest.param(datagram(), True, id="nothing-inside"),
    pytest.param(datagram(total_length=19), False, id="total-length-below-the-header"),
    pytest.param(datagram(bytes(580)), True, id="exactly-the-mtu"),
    pytest.param(datagram(bytes(581)), False, id="one-octet-more"),
    pytest.param(datagram(time_to_live=2), True, id="two-hops-left"),
    pytest.param(datagram(time_to_live=1), False, id="one-hop-left"),
    pytest.param(datagram(options=bytes(4)), False, id="options"),
    pytest.param(
        b"\x65" + datagram(type_of_service=0x20)[1:], False, id="version-6-with-a-wrong-checksum"
    ),
    pytest.param(VERSION_6, False, id="version-6-with-a-right-checksum"),
    pytest.param(datagram(destination=address("192.0.2.77")), False, id="on-the-same-link"),
    pytest.param(datagram(destination=NORTH_PIER), False, id="to-the-router"),
    pytest.param(datagram(source=address("198.51.100.255")), False, id="from-a-broadcast"),
    pytest.param(datagram(destination=address("198.51.100.255")), False, id="to-a-broadcast"),
]


@pytest.mark.parametrize(("data", "plain"), EDGES)
def test_the_edges_of_what_is_plain(data, plain):
    router = north_pier(600)
    batch = forward_batch(router, "harbour", *rows([data]))
    assert batch.plain.tolist() == [plain]
    assert (one_by_one(router, data) is not None) == plain


@pytest.mark.parametrize("text", ["0.1.2.3", "127.0.0.1", "224.0.0.1", "240.0.0.1"])
def test_not_even_a_default_route_leads_to_special_addresses(text):
    router = north_pier()
    router.add_route(prefix("0.0.0.0/0"), PLOVER, "sea")
    data = [datagram(destination=address(each)) for each in (text, "9.9.9.9")]
    assert forward_batch(router, "harbour", *rows(data)).plain.tolist() == [False, True]


@pytest.mark.parametrize("table", [BinaryTrie, DirectIndex])
def test_the_way_is_that_of_the_longest_prefix(table):
    router = north_pier(table=table())
    router.add_route(prefix("203.0.113.128/25"), address("198.51.100.9"), "sea")
    headers, lengths = rows([datagram(), datagram(destination=address("203.0.113.200"))])
    batch = forward_batch(router, "harbour", headers, lengths)
    hops = [router.decide.entries[way].next_hop for way in batch.entries]
    assert hops == [PLOVER, address("198.51.100.9")]


def test_many_headers():
    router = north_pier()
    headers, lengths = rows([datagram(identification=n % 0x10000) for n in range(300)] * 60)
    batch = forward_batch(router, "harbour", headers, lengths)
    assert batch.plain.all()
    assert batch.plain.size == 18_000
    assert one_by_one(router, datagram(identification=299)) == batch.headers[-1].tobytes()


def test_the_machine_code_does_what_its_source_says(monkeypatch):
    router = north_pier(600)
    given = rows([each.values[0][:20].ljust(20, b"\0") for each in EDGES] * 2)
    compiled = forward_batch(router, "harbour", *given)
    monkeypatch.setattr(batch_module, "ready", lambda loop: loop)
    plainly = forward_batch(router, "harbour", *given)
    assert 0 < compiled.plain.sum() < compiled.plain.size
    for one, other in zip(compiled, plainly, strict=True):
        assert np.array_equal(one, other)


def test_headers_that_lie_scattered_in_memory_are_read_alike():
    headers, lengths = rows([datagram(identification=n) for n in range(6)])
    wide = np.zeros((6, 40), np.uint8)
    wide[:, 10:30] = headers
    scattered = forward_batch(north_pier(), "harbour", wide[:, 10:30], lengths.astype(np.uint16))
    assert np.array_equal(
        scattered.headers, forward_batch(north_pier(), "harbour", headers, lengths).headers
    )


@pytest.mark.parametrize("check", [0x0100, 0x00FF, 0xFEFF, 0xFFFF, 0x0000, 0xFF00])
def test_the_checksum_is_right_at_its_edges(check):
    """RFC 1624: where old update rules went wrong. An identification is found that gives it."""
    found = (datagram(identification=ident) for ident in range(0x10000))
    data = next(each for each in found if int.from_bytes(each[10:12], "big") == check % 0xFFFF)
    batch = forward_batch(north_pier(), "harbour", *rows([data]))
    assert batch.headers[0].tobytes() == datagram(
        identification=int.from_bytes(data[4:6], "big"), time_to_live=63
    )


def test_the_input_stays_as_it_is_and_nothing_is_counted():
    router = north_pier()
    headers, lengths = rows([datagram()])
    before = headers.copy()
    forward_batch(router, "harbour", headers, lengths)
    assert np.array_equal(headers, before)
    assert router.counters.received == 0


@pytest.mark.parametrize(
    ("headers", "lengths"),
    [
        (np.zeros((2, 19), np.uint8), np.zeros(2, int)),
        (np.zeros((2, 20), np.int64), np.zeros(2, int)),
        (np.zeros(20, np.uint8), np.zeros(1, int)),
        (np.zeros((2, 20), np.uint8), np.zeros(3, int)),
    ],
)
def test_arrays_that_do_not_fit_are_refused(headers, lengths):
    with pytest.raises(ValueError, match="headers"):
        forward_batch(north_pier(), "harbour", headers, lengths)


def test_no_headers_are_no_problem():
    batch = forward_batch(north_pier(), "harbour", np.zeros((0, 20), np.uint8), np.zeros(0, int))
    assert batch.plain.size == 0
