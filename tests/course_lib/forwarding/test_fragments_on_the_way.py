"""Datagrams that are larger than the next link carries.

RFC 791, section 3.2; RFC 1812, section 4.2.2.7; RFC 1191, section 4.
"""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.headers.errors import Reason
from course_lib.headers.ipv4 import IPv4Header
from course_lib.ip.fragmentation import Reassembler, fragments
from course_lib.ip.packets import Packet
from networks.forwarding_scene import datagram, give, north_pier, only_drop, only_error, seen

CARGO = bytes(range(250)) * 6


def header(total, flags=0, offset=0, options=b""):
    return IPv4Header(0, total, 5, flags, offset, 9, 17, 0, 1 << 24, 2 << 24, options)


def shapes(parts):
    return [(each.total_length, each.fragment_offset, each.flags) for each, _ in parts]


@pytest.mark.parametrize(
    ("total", "mtu", "expected"),
    [
        pytest.param(4000, 1500, [(1500, 0, 1), (1500, 185, 1), (1040, 370, 0)], id="4000-by-1500"),
        pytest.param(1500, 1000, [(996, 0, 1), (524, 122, 0)], id="976-not-980"),
        pytest.param(1500, 1500, [(1500, 0, 0)], id="fits"),
        pytest.param(1501, 1500, [(1500, 0, 1), (21, 185, 0)], id="one-octet-too-many"),
        pytest.param(68 + 4, 68, [(68, 0, 1), (24, 6, 0)], id="smallest-mtu"),
        pytest.param(20, 68, [(20, 0, 0)], id="no-data"),
    ],
)
def test_offsets_count_units_of_8_and_all_but_the_last_say_more(total, mtu, expected):
    """Worked out by hand from RFC 791, section 3.2."""
    assert shapes(fragments(header(total), bytes(total - 20), mtu)) == expected


def test_a_fragment_is_cut_again_as_part_of_the_whole():
    parts = fragments(header(1020, flags=1, offset=100), bytes(1000), 520)
    assert shapes(parts) == [(516, 100, 1), (516, 162, 1), (28, 224, 1)]


def test_options_are_copied_only_if_they_say_so():
    """RFC 791, section 3.1: the first bit of the type. 148 (router alert) has it, 7 has not."""
    options = bytes.fromhex("9404000007070400000000" + "00")
    parts = fragments(header(1032, options=options), bytes(1000), 432)
    assert [each.options for each, _ in parts] == [options, options[:4], options[:4]]


@pytest.mark.parametrize(("flags", "mtu"), [(2, 500), (0, 67)])
def test_what_cannot_be_cut_is_refused(flags, mtu):
    with pytest.raises(ValueError, match=r"forbids|at least 68"):
        fragments(header(1000, flags=flags), bytes(980), mtu)


LENGTHS = st.integers(0, 3000)
MTUS = st.integers(68, 1500)


@given(LENGTHS, MTUS)
def test_fragments_are_as_few_as_can_be_and_put_together_again(length, mtu):
    """RFC 1812, section 4.2.2.7: minimise their number. All but the last carry what fits."""
    whole, payload = header(20 + length).with_checksum(), (CARGO * 2)[:length]
    parts = fragments(whole, payload, mtu)
    most = (mtu - 20) // 8 * 8
    assert all(len(part) == most for _, part in parts[:-1])
    assert all(each.total_length == 20 + len(part) <= mtu for each, part in parts)
    reassembler = Reassembler()
    taken = [reassembler.take(packet(each, part)) for each, part in reversed(parts)]
    assert [each for each in taken if each] == [packet(whole, payload)._replace(frame=b"first")]


def packet(each, part, now_s=0.0):
    frame = b"" if each.fragment_offset else b"first"
    return Packet(now_s, "harbour", frame, each, part)


def test_a_datagram_with_a_hole_is_given_up_after_a_minute():
    """RFC 1122, section 3.3.2: 60 to 120 seconds; whoever sent the first fragment is told."""
    reassembler = Reassembler()
    parts = [packet(*each) for each in fragments(header(1020), bytes(1000), 500)]
    assert [reassembler.take(parts[0]), reassembler.take(parts[2])] == [None, None]
    assert reassembler.next_tick_s() == 60.0
    assert reassembler.tick(59.9) == []
    assert [each.frame for each in reassembler.tick(60.0)] == [b"first"]
    assert reassembler.take(parts[1]) is None


def test_nobody_is_told_of_a_datagram_whose_first_fragment_never_came():
    """RFC 1122, section 3.3.2: without it there is nothing that an error could quote."""
    reassembler = Reassembler()
    parts = [packet(*each) for each in fragments(header(1020), bytes(1000), 500)]
    assert [reassembler.take(each) for each in parts[1:]] == [None, None]
    assert reassembler.tick(60.0) == []
    assert reassembler.next_tick_s() == float("inf")


def test_fragments_that_contradict_each_other_are_given_up():
    """RFC 1858 and RFC 3128 tell how overlapping fragments are used in attacks."""
    reassembler = Reassembler()
    first, second, third = [packet(*each) for each in fragments(header(1020), CARGO[:1000], 500)]
    forged = second._replace(header=second.header._replace(fragment_offset=1))
    for each in (first, forged, second, third):
        assert reassembler.take(each) is None


def test_a_fragment_that_comes_twice_does_no_harm():
    reassembler = Reassembler()
    first, second, third = [packet(*each) for each in fragments(header(1020), CARGO[:1000], 500)]
    taken = [reassembler.take(each) for each in (first, second, second, third)]
    assert taken[3].payload == CARGO[:1000]


def piece(start, end, whole=CARGO[:1000]):
    """A fragment of a datagram that carries `whole`, cut wherever one likes."""
    more = int(end < len(whole))
    cut = header(20 + end - start, flags=more, offset=start // 8)
    return packet(cut, whole[start:end])


OVERLAPPING = [
    pytest.param([(0, 504), (128, 256), (504, 1000)], id="inside-another"),
    pytest.param([(128, 256), (0, 504), (504, 1000)], id="around-another"),
    pytest.param([(0, 504), (0, 256), (504, 1000)], id="from-the-same-beginning"),
    pytest.param([(0, 256), (128, 504), (504, 1000)], id="half-over-another"),
    pytest.param([(0, 256), (256, 504), (128, 384), (504, 1000)], id="across-a-border"),
    pytest.param([(504, 1000), (0, 504), (992, 1000)], id="inside-the-last"),
]


@pytest.mark.parametrize("cuts", OVERLAPPING)
def test_fragments_may_overlap_if_they_tell_the_same(cuts):
    """RFC 791, section 3.2: "the same data either identically or through a partial overlap"."""
    reassembler = Reassembler()
    taken = [reassembler.take(piece(*cut)) for cut in cuts]
    assert [each.payload for each in taken if each] == [CARGO[:1000]]


@given(st.data())
def test_a_datagram_cut_in_two_ways_comes_out_as_it_was(data):
    """All fragments of both cuttings, in any order: whole after the one that fills the last gap."""
    whole = CARGO[: data.draw(st.integers(1, 400))]
    cuts = []
    for _ in range(2):
        inner = data.draw(st.sets(st.integers(1, max(1, (len(whole) - 1) // 8))))
        borders = [0, *sorted(at * 8 for at in inner if at * 8 < len(whole)), len(whole)]
        cuts += pairwise(borders)
    reassembler = Reassembler()
    there = set()
    for start, end in data.draw(st.permutations(cuts)):
        taken = reassembler.take(piece(start, end, whole))
        there |= set(range(start, end))
        if len(there) == len(whole):
            assert taken is not None
            assert taken.payload == whole
            return
        assert taken is None


@pytest.mark.parametrize("place", [0, 7, 8, 255, 503])
def test_an_overlap_that_differs_in_one_octet_ends_the_datagram(place):
    """RFC 1858 and RFC 3128: such fragments are made to show a filter something else."""
    forged = bytearray(CARGO[:1000])
    forged[place] ^= 1
    reassembler = Reassembler()
    start = place // 8 * 8
    assert reassembler.take(piece(0, 504)) is None
    assert reassembler.take(piece(start, start + 8, bytes(forged))) is None
    assert reassembler.next_tick_s() == float("inf")


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_octets_behind_the_end_are_a_contradiction(order):
    pieces = [piece(504, 1000, CARGO[:1250]), piece(504, 512, CARGO[:512])]
    reassembler = Reassembler()
    assert [reassembler.take(pieces[at]) for at in order] == [None, None]
    assert reassembler.next_tick_s() == float("inf")


def test_fragments_beyond_the_largest_datagram_are_given_up():
    """An offset of 8191 units and 100 octets behind it would end beyond 65,535."""
    reassembler = Reassembler()
    assert reassembler.take(packet(header(120, offset=8191), bytes(100))) is None
    assert reassembler.next_tick_s() == float("inf")


def test_memory_for_fragments_is_bounded():
    reassembler = Reassembler()
    for ident in range(1000):
        reassembler.take(
            packet(header(100, flags=1)._replace(identification=ident), bytes(80), 1.0)
        )
    assert len(reassembler.tick(1e9)) == 64


def test_a_router_cuts_what_the_next_link_cannot_carry():
    router = north_pier(sea_mtu=600)
    parts = [seen(each) for each in give(router, datagram(CARGO[:1480]))]
    assert [part.header.total_length for part in parts] == [596, 596, 348]
    assert [part.header.time_to_live for part in parts] == [63, 63, 63]
    assert b"".join(part.payload for part in parts) == CARGO[:1480]


@pytest.mark.parametrize(
    ("offset", "octets", "sent"),
    [
        pytest.param(8191, 580, 1, id="fits"),
        pytest.param(8191, 581, 0, id="a-second-part-has-no-place"),
        pytest.param(8119, 1000, 2, id="the-second-part-has-the-last-place"),
        pytest.param(8120, 1000, 0, id="and-here-no-more"),
    ],
)
def test_what_lies_beyond_the_largest_datagram_is_not_cut(offset, octets, sent):
    """RFC 791, section 3.1: the offset has 13 bits. Whoever lets it overflow makes a fragment that
    belongs near the beginning."""
    router = north_pier(sea_mtu=600)
    frames = give(router, datagram(CARGO[:octets], flags=1, fragment_offset=offset))
    assert len(frames) == sent
    assert all(seen(each).header.fragment_offset >= offset for each in frames)
    assert not router.complaints
    assert router.counters.dropped == ({} if sent else {Reason.FRAGMENT_TOO_FAR: 1})


def test_the_mtu_is_that_of_the_datagram_and_not_of_the_frame():
    router = north_pier(sea_mtu=600)
    (outgoing,) = give(router, datagram(CARGO[:580], flags=2))
    assert len(outgoing.frame) == 614


def test_what_may_not_be_cut_is_reported_with_the_mtu():
    """RFC 1191, section 4: code 4, octets 4 and 5 zero, the next-hop MTU in octets 6 and 7."""
    router = north_pier(sea_mtu=600)
    data = datagram(CARGO[:581], flags=2)
    _, icmp, quoted = only_error(give(router, data))
    assert (icmp.type, icmp.code, icmp.rest_of_header) == (3, 4, 600)
    assert quoted == data[:548]
    assert only_drop(router) is Reason.FRAGMENTATION_NEEDED
