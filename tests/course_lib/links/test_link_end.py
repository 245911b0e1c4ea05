"""What a link carries, counts and refuses, and how it comes back after sleep and new starts."""

import math

import pytest

from course_lib.links.counters import LinkCounters
from course_lib.links.link_end import SILENT_AFTER, LinkEnd
from course_lib.links.terms import LinkTerms, TermsError, inner_mtu_for
from networks.linked_ends import PLACES, SECRET, LinkedEnds

FRAME = bytes(range(60))


def joined(**terms) -> LinkedEnds:
    ends = LinkedEnds(**terms)
    ends.run(0.0)
    assert ends.are_up()
    return ends


def test_two_ends_meet_at_once_and_carry_frames_both_ways_in_datagrams_that_hide_them():
    ends = joined()
    ends.send(0, FRAME)
    ends.send(1, FRAME[::-1])
    assert ends.frames == ([FRAME[::-1]], [FRAME])
    assert not any(FRAME[:8] in each.octets for each in ends.seen)
    one, other = (end.counters() for end in ends.ends)
    assert (one.frames_out, one.octets_out, one.frames_in, one.octets_in) == (1, 60, 1, 60)
    assert one.round_trip_s == other.round_trip_s == 0.0
    assert one.forged == one.outdated == one.lost == other.lost == 0


def test_it_meets_though_any_of_the_first_datagrams_gets_lost():
    for lost in range(8):
        ends = LinkedEnds()
        ends.fate = lambda passing, ends=ends, lost=lost: (
            [] if len(ends.seen) == lost + 1 else [passing]
        )
        ends.run(SILENT_AFTER * 2.0)
        assert ends.are_up(), lost


def test_without_the_code_there_is_no_link():
    ends = LinkedEnds(secrets=(SECRET, bytes(32)))
    ends.run(10.0)
    assert not any(end.is_up for end in ends.ends)
    assert ends.ends[0].counters().forged == ends.ends[1].counters().forged == 11  # hellos


def test_late_is_told_apart_from_lost():
    ends = joined()
    held = []
    ends.fate = lambda passing: held.append(passing) or []
    for number in range(6):
        ends.send(0, FRAME + bytes([number]))
    for place in (0, 2, 1, 5):  # 3 and 4 are still under way
        ends.throw_in(1, held[place].octets)
    assert [frame[-1] for frame in ends.frames[1]] == [0, 2, 1, 5]
    counted = ends.ends[1].counters()
    assert (counted.lost, counted.reordered) == (2, 1)
    ends.throw_in(1, held[4].octets)
    counted = ends.ends[1].counters()
    assert (counted.lost, counted.reordered, counted.replayed) == (1, 2, 0)


def test_what_was_lost_in_a_session_stays_counted_in_the_next():
    ends = joined()
    ends.fate = lambda passing: []
    ends.send(0, FRAME)
    ends.fate = lambda passing: [passing]
    ends.send(0, FRAME)
    ends.start_anew(0)
    ends.run(1.0)
    counted = ends.ends[1].counters()
    assert (counted.lost, counted.sessions, counted.frames_in) == (1, 2, 1)


def test_the_longest_frame_fits_the_outer_mtu_and_a_longer_one_is_refused_not_cut():
    # RFC 791 and RFC 768: 20 and 8 octets stand in front of what UDP carries; 1500 is RFC 894's.
    ends = joined(inner_mtu=inner_mtu_for(1500))
    longest = bytes(14 + 1428)
    ends.send(0, longest)
    assert 20 + 8 + len(ends.seen[-1].octets) == 1500
    ends.send(0, longest + b"\0")
    assert ends.frames[1] == [longest]
    assert ends.ends[0].counters().too_large == 1
    smaller = joined(inner_mtu=1000).ends[1]
    generous = joined()
    generous.ends[1].change_terms(smaller.terms)
    generous.send(0, bytes(1414))
    assert generous.frames[1] == []
    assert generous.ends[1].counters().too_large == 1


def test_no_more_is_sent_than_the_rate_and_a_burst_allow():
    ends = joined(rate_bits_per_s=1e6)
    for number in range(4000):  # 8 Mbit/s for 4 s
        ends.now_s = number / 1000
        ends.send(0, bytes(942))
    octets = sum(len(each.octets) + 28 for each in ends.seen if len(each.octets) > 900)
    most = 1e6 / 8 * (4 + 0.25)
    assert most - 1000 < octets <= most
    counted = ends.ends[0].counters()
    assert counted.refused_by_rate == 4000 - len(ends.frames[1]) > 3000
    assert counted.frames_out == len(ends.frames[1])


def test_a_machine_that_sleeps_is_noticed_and_wakes_into_the_same_session():
    ends = joined(keep_alive_s=2.0)
    ends.run(3600.0, awake=(1,))  # one laptop is shut for an hour
    assert not ends.ends[1].is_up
    ends.send(1, FRAME)
    assert ends.ends[1].counters().not_up == 1
    ends.run(1.0)
    assert ends.are_up()
    ends.send(1, FRAME)
    assert ends.frames[0] == [FRAME]
    assert ends.ends[1].counters().sessions <= 2


@pytest.mark.parametrize("which", [(0,), (1,), (0, 1)])
def test_an_end_that_starts_anew_is_there_again_within_a_second(which):
    ends = joined()
    ends.run(7.0)
    for end in which:
        ends.start_anew(end)
    ends.run(1.0)
    assert ends.are_up()
    ends.send(0, FRAME)
    ends.send(1, FRAME)
    assert ends.frames == ([FRAME], [FRAME])


def test_a_pulled_link_carries_nothing_and_is_there_at_once_when_put_in():
    ends = joined()
    for end in ends.ends:
        end.take_down()
    ends.send(0, FRAME)
    ends.run(60.0)
    assert not ends.are_up()
    ends.ends[0].bring_up()
    ends.send(0, FRAME)  # the other end is still pulled out
    assert ends.frames == ([], [])
    assert [end.counters().not_up for end in ends.ends] == [1, 1]
    ends.ends[1].bring_up()
    ends.send(0, FRAME)
    assert ends.frames[1] == [FRAME]


def test_round_trips_are_measured_and_idle_links_cost_little():
    ends = joined(keep_alive_s=2.0)
    before, held = len(ends.seen), []
    ends.fate = lambda passing: held.append(passing) or []
    ends.run(2.0)
    ends.now_s += 0.040
    ends.throw_in(1, next(each.octets for each in held if each.sender == 0))
    ends.fate = lambda passing: [passing]
    ends.run(0.0)
    assert ends.ends[0].counters().round_trip_s == pytest.approx(0.040, abs=1e-5)
    ends.run(60.0)
    sent = ends.seen[before:]
    assert sum(len(each.octets) for each in sent) < 60 * 100  # octets: below 1 kbit/s both ways
    assert ends.ends[0].next_tick_s(ends.now_s) > ends.now_s


def test_what_no_end_should_seal_is_counted_and_believed_in_nothing():
    ends = joined()
    ends.now_s = 7200.0
    other = ends.ends[1]._session.sealer
    long_ago, to_come = (round(at_s * 1e6).to_bytes(8, "big") for at_s in (3600.0, 7300.0))
    for content in (b"", b"\0" + bytes(13), b"\1" + bytes(7), b"\7" + bytes(8)):
        assert ends.throw_in(0, other.seal(content)) == []
    assert ends.ends[0].counters().malformed == 4
    for time in (long_ago, to_come):
        ends.throw_in(0, other.seal(b"\2" + time))
    assert ends.ends[0].counters().round_trip_s == 0.0  # as it was


def test_a_clock_that_is_set_back_wakes_nobody():
    end = joined().ends[0]
    end.tick(100.0)
    assert end.send(1.0, FRAME) is None
    assert end.receive(1.0, PLACES[1], b"") is None
    assert not end.is_up


def test_it_goes_where_the_room_says_and_nowhere_without_addresses():
    end = LinkEnd(LinkTerms(7, 0, 5000), SECRET, SECRET, 0.0)
    assert end.tick(0.0) == []
    assert not math.isinf(end.next_tick_s(0.0))
    addresses = (PLACES[1], ("198.51.100.9", 5001))
    end.change_terms(LinkTerms(7, 0, 5000, addresses))
    assert {address for address, _ in end.tick(0.1)} == set(addresses)
    with pytest.raises(TermsError, match="end 0 of link 7 cannot become end 1"):
        end.change_terms(LinkTerms(7, 1, 5000))


def test_an_address_that_the_room_takes_back_is_not_used_any_more():
    ends = joined()
    ends.ends[0].change_terms(LinkTerms(7, 0, 5000, (("198.51.100.9", 5001),)))
    assert ends.ends[0].address is None
    ends.send(0, FRAME)
    assert ends.ends[0].counters().not_up == 1
    ends.throw_in(0, ends.seen[-1].octets)  # from where the other was
    assert ends.ends[0].counters().strangers == 1


def test_an_answer_that_waits_is_not_sent_where_the_room_allows_it_no_longer():
    ends, elsewhere = LinkedEnds(), ("198.51.100.9", 5001)
    ((_, hello),) = ends.ends[1].tick(0.0)
    for takes_it in (False, True):
        end = ends.new_end(0)
        end.receive(0.0, PLACES[1], hello)
        if takes_it:
            end.change_terms(LinkTerms(7, 0, 5000, (elsewhere,)))
        told = end.tick(0.0)
        assert {address for address, _ in told} == {elsewhere if takes_it else PLACES[1]}
        assert len(told) == (1 if takes_it else 2)  # a hello of its own, and the answer


def test_a_laptop_changes_from_cable_to_radio_if_the_room_knows_both():
    radio = ("198.51.100.9", 5000)
    ends = joined(addresses=(PLACES[0], radio, PLACES[1]))
    ends.places[0] = radio
    ends.send(0, FRAME)
    assert ends.ends[1].address == radio
    ends.send(1, FRAME)
    assert ends.frames == ([FRAME], [FRAME])


def test_a_translator_may_change_the_port_only_where_the_room_says_so():
    for is_allowed in (False, True):
        ends = joined(ports_may_change=is_allowed)
        ends.places[0] = (PLACES[0][0], 40_000)
        ends.send(0, FRAME)
        ends.send(1, FRAME)
        assert ends.frames == (([FRAME], [FRAME]) if is_allowed else ([], []))
        ends.places[0] = (PLACES[0][0], 53)  # a service of that machine
        ends.send(0, FRAME)
        assert ends.ends[1].address == (PLACES[0][0], 40_000 if is_allowed else 5000)


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("number", -1, "number must be a whole number of 32 bits, not -1"),
        ("end", True, "end must be 0 or 1, not True"),
        ("port", 0, "port must be 1 to 65535, not 0"),
        ("inner_mtu", 60, "inner_mtu must be 68 to 9000 octets, not 60"),
        ("rate_bits_per_s", math.inf, "rate_bits_per_s must be 1000 to 1e"),
        ("keep_alive_s", math.nan, "keep_alive_s must be 0.1 to 60 s, not nan"),
        ("ports_may_change", 1, "ports_may_change must be true or false, not 1"),
        ("addresses", [["224.0.0.1", 5000]], "224.0.0.1 is not the address of one machine"),
        ("addresses", [["192.0.2.255.1", 5000]], "must be pairs of address and port"),
        ("addresses", [["192.0.2.1", 0]], "the port of 192.0.2.1 must be 1 to 65535, not 0"),
        ("addresses", "192.0.2.1", "must be a list of"),
        ("addresses", [["192.0.2.1", 5000]] * 5, "addresses must be 4 at most"),
        ("speed", 1, "terms of a link have no field 'speed'"),
    ],
)
def test_terms_that_no_link_can_have_are_refused_by_their_field(field, value, words):
    plain = LinkTerms(7, 0, 5000, (PLACES[1],)).to_plain()
    assert LinkTerms.from_plain(plain).to_plain() == plain
    with pytest.raises(TermsError, match=words.replace("(", r"\(")):
        LinkTerms.from_plain({**plain, field: value})


def test_counters_are_plain_data():
    counted = joined().ends[0].counters()
    assert LinkCounters.from_plain(counted.to_plain()) == counted
