"""A stranger hears everything and sends what he likes, from any address; he lacks the code.

He must not read, not get a single frame in, not turn a link elsewhere, and not stop it. Where he
floods, what is counted is work, and not time: how many datagrams had to be opened, and answered.
"""

import random
from unittest import mock

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from course_lib.links import sealing
from course_lib.links.datagrams import ANSWERING_HELLO, HELLO, SEALED, Hello, write_hello
from course_lib.links.keys import two_keys
from course_lib.links.link_end import MOST_ANSWERS
from course_lib.links.meeting import MOST_REMEMBERED
from course_lib.links.session import hello_keys, link_key
from networks.linked_ends import PLACES, SECRET, LinkedEnds

FRAME = bytes(range(60))
ELSEWHERE = ("203.0.113.66", 4000)


def joined(**terms) -> LinkedEnds:
    ends = LinkedEnds(**terms)
    ends.run(0.0)
    assert ends.are_up()
    return ends


def test_nothing_that_was_ever_sent_gets_in_again_after_both_ends_started_anew():
    ends = joined()
    for day in range(4):
        ends.send(0, FRAME + bytes([day]))
        ends.send(1, FRAME + bytes([day]))
        ends.run(3.0)
        ends.start_anew(day % 2)
        ends.run(1.0)
    ends.start_anew(0)
    ends.start_anew(1)
    old, before = list(ends.seen), [list(frames) for frames in ends.frames]
    random.Random(7).shuffle(old)
    for each in old * 3:  # in the midst of the new meeting, then once it is over
        ends.throw_in(1 - each.sender, each.octets)
        ends.throw_in(each.sender, each.octets)
    ends.run(1.0)
    assert ends.are_up()
    for each in old:
        ends.throw_in(1 - each.sender, each.octets)
        ends.throw_in(each.sender, each.octets)
    assert [list(frames) for frames in ends.frames] == before
    ends.run(20.0)
    assert ends.are_up()
    assert [end.counters().sessions for end in ends.ends] == [1, 1]


@settings(deadline=None, max_examples=40)
@given(st.integers(0, 2**32), st.floats(0, 0.9), st.floats(0, 0.5))
def test_a_frame_comes_once_or_never_and_the_link_is_back_when_he_tires(seed, loses, anew):
    """He loses, holds back, doubles, changes and cuts; ends start anew and sleep meanwhile."""
    chance, held, sent = random.Random(seed), [], ([], [])
    ends = LinkedEnds(keep_alive_s=1.0)

    def fate(passing):
        held.append(passing)
        if chance.random() < loses:
            return []
        chosen = chance.choices(held[-40:], k=chance.randrange(3))
        spoiled = [each.octets for each in chance.choices(held, k=2)]
        spoiled[0] = spoiled[0][: chance.randrange(len(spoiled[0]))]
        at = chance.randrange(len(spoiled[1]))
        spoiled[1] = spoiled[1][:at] + bytes([chance.randrange(256)]) + spoiled[1][at + 1 :]
        for octets in spoiled:
            ends.throw_in(chance.randrange(2), octets, chance.choice([None, ELSEWHERE]))
        return [*chosen, passing]

    ends.fate = fate
    for number in range(40):
        for end in (0, 1):
            frame = FRAME + number.to_bytes(2, "big") + bytes([end])
            sent[end].append(frame)
            ends.send(end, frame)
        ends.run(chance.choice([0.01, 0.3, 2.0]), awake=chance.choice([(0,), (1,), (0, 1), (0, 1)]))
        if chance.random() < anew:
            ends.start_anew(chance.randrange(2))
    for end in (0, 1):
        assert len(set(ends.frames[end])) == len(ends.frames[end])
        assert set(ends.frames[end]) <= set(sent[1 - end])
    ends.fate = lambda passing: [passing]
    ends.run(10.0)
    assert ends.are_up()
    ends.send(0, FRAME)
    assert ends.frames[1][-1] == FRAME


def test_old_hellos_without_end_do_not_hold_up_a_new_meeting():
    ends = LinkedEnds()
    for _ in range(30):  # so many hellos has he heard
        ends.run(0.3)
        ends.start_anew(0)
        ends.start_anew(1)
    old = [each for each in ends.seen if each.octets[0] == HELLO]
    ends.fate = lambda passing: [*old[:60], passing, *old[60:]]
    ends.run(1.0)
    assert ends.are_up()


def test_no_epoch_is_offered_again_once_a_session_came_of_it():
    ends = LinkedEnds()
    for _ in range(5):
        ends.run(1.0)
        ends.start_anew(1)
    ends.run(60.0, awake=(0,))  # end 0 says hello again, with what it has at hand
    offered = [each.octets[2:34] for each in ends.seen if each.sender == 0
               and each.octets[0] in (HELLO, ANSWERING_HELLO)]  # fmt: skip
    assert len(set(offered)) == ends.ends[0].counters().sessions + 1 == 6


def test_only_the_end_that_is_meant_believes_a_hello():
    ends = LinkedEnds()
    ((_, mine),) = ends.ends[0].tick(0.0)
    assert ends.throw_in(0, mine) == []  # his own, sent back
    forged = write_hello(Hello(1, bytes(range(32))), bytes(32))
    ends.throw_in(0, forged)
    assert ends.ends[0].counters().forged == 2
    assert ends.ends[0].tick(0.0) == []


@pytest.mark.parametrize("mine", [True, False])
def test_a_hello_counts_only_with_the_number_and_the_key_of_the_other_end(mine):
    """Two lines of defence: either alone would keep an end from hearing itself."""
    keys = hello_keys(link_key(SECRET, 7))
    hello = write_hello(Hello(0 if mine else 1, bytes(range(32))), keys[1 if mine else 0])
    ends = LinkedEnds()
    ends.throw_in(0, hello)
    assert ends.ends[0].counters().forged == 1


def test_a_hello_of_another_link_of_the_room_is_not_believed():
    ends = LinkedEnds()
    hello = write_hello(Hello(1, bytes(range(32))), hello_keys(link_key(SECRET, 8))[1])
    ends.throw_in(0, hello)
    assert ends.ends[0].counters().forged == 1


def test_an_epoch_with_which_there_is_no_secret_is_refused():
    """RFC 7748, section 6.1: the point of order 1, all of whose octets are 0."""
    ends = LinkedEnds()
    ((_, mine),) = ends.ends[0].tick(0.0)
    key = hello_keys(link_key(SECRET, 7))[1]
    ends.throw_in(0, write_hello(Hello(1, bytes(32), mine[2:34]), key))
    assert ends.ends[0].counters().forged == 1
    assert ends.ends[0].tick(0.0) == []


def test_who_has_the_code_and_overhears_both_epochs_still_reads_nothing():
    ends = joined()
    ends.send(0, FRAME)
    hellos = [each for each in ends.seen if each.octets[0] in (HELLO, ANSWERING_HELLO)]
    epochs = [next(e.octets[2:34] for e in hellos if e.sender == end) for end in (0, 1)]
    sealed = ends.seen[-1].octets
    keys = two_keys(link_key(SECRET, 7), "session of a link", *epochs)
    for key in keys:
        with pytest.raises(sealing.ForgedError):
            sealing.Opener(key, sealed[:5]).open(sealed)


def test_hellos_of_many_epochs_fill_no_memory():
    ends, key = LinkedEnds(), hello_keys(link_key(SECRET, 7))[1]
    for number in range(2 * MOST_ANSWERS):
        ends.throw_in(0, write_hello(Hello(1, number.to_bytes(32, "big")), key))
    assert len(ends.ends[0]._meeting._answered) == MOST_REMEMBERED
    assert len(ends.ends[0].tick(0.0)) <= MOST_ANSWERS + 1


def test_what_he_holds_back_of_a_meeting_that_came_to_nothing_undoes_no_session():
    ends, held = LinkedEnds(), []
    ends.fate = lambda passing: (
        held.append(passing.octets) or [] if passing.octets[0] == SEALED else [passing]
    )
    ends.run(0.0)
    first = [octets for octets in held if octets]
    ends.start_anew(0)
    ends.run(2.0)
    second = held[len(first) :]
    ends.fate = lambda passing: [passing]
    for octets in second:
        ends.throw_in(1, octets)
    assert ends.ends[1].counters().sessions == 1
    before = ends.ends[1].counters().outdated
    for octets in first:
        ends.throw_in(1, octets)
    assert ends.ends[1].counters().sessions == 1
    assert ends.ends[1].counters().outdated > before
    ends.run(1.0)
    ends.send(0, FRAME)
    assert ends.frames[1] == [FRAME]


def test_a_datagram_that_he_holds_back_turns_the_stream_nowhere():
    radio = ("198.51.100.9", 5000)
    ends = joined(addresses=(PLACES[0], radio, PLACES[1]))
    ends.fate = lambda passing: []
    ends.send(0, FRAME)
    held = ends.seen[-1].octets
    ends.fate = lambda passing: [passing]
    assert ends.throw_in(1, held, ELSEWHERE) == []  # of now and genuine, from where nobody may be
    assert ends.ends[1].address == PLACES[0]
    ends.send(0, FRAME)
    assert ends.throw_in(1, held, radio) == [FRAME]  # late; the frame is good, the place is not
    assert ends.ends[1].address == PLACES[0]
    assert ends.ends[1].counters().strangers == 1
    for end in ends.ends:
        assert all(address != ELSEWHERE for address, _ in end.tick(ends.now_s))


def test_a_flood_from_elsewhere_is_not_looked_into_and_honest_frames_all_pass():
    ends = joined(rate_bits_per_s=100e6)
    genuine = ends.seen[-1].octets
    flood = [genuine, b"", b"\2", b"\1" * 98, bytes(65_507), genuine[:9]]
    with mock.patch.object(
        sealing.Opener, "open", autospec=True, side_effect=sealing.Opener.open
    ) as opened:
        for _ in range(100):
            for octets in flood * 10:
                ends.throw_in(1, octets, ELSEWHERE)
            ends.send(0, FRAME)
    assert len(ends.frames[1]) == opened.call_count == 100
    assert ends.ends[1].counters().strangers == 6000


def test_a_flood_under_the_name_of_the_neighbour_is_refused_one_by_one_and_stops_nothing():
    ends = joined(rate_bits_per_s=100e6)
    ends.send(0, FRAME)
    genuine = ends.seen[-1].octets
    hello = next(each.octets for each in ends.seen if each.sender == 0)
    ahead = genuine[:5] + (1 << 40).to_bytes(8, "big") + genuine[13:]  # a number not yet used
    flood = [genuine, ahead, genuine[:20], hello, hello[:-1] + b"\0", b"", b"\3", b"\2",
             bytes(65_507), bytes([SEALED]) * 65_507, bytes([HELLO]) * 65_507]  # fmt: skip
    waiting = 0
    for _ in range(100):
        for octets in flood * 5:
            ends.throw_in(1, octets)
        waiting = max(waiting, len(ends.ends[1]._answers))
        ends.send(0, FRAME)
    assert ends.frames[1] == [FRAME] * 101
    assert waiting <= 1
    counted = ends.ends[1].counters()
    refused = counted.replayed + counted.forged + counted.outdated
    assert refused == 100 * 5 * len(flood)
    assert counted.lost == 0
    assert len(ends.ends[1].tick(ends.now_s)) <= 1
