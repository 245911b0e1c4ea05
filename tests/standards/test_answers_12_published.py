"""The right answers of unit 12 keep what is published of translators, buckets and greetings.

All of them are tried, those written in other ways as well.
"""

import random

import pytest

from instructor.units.items import item
from instructor.units.unit_12.translator.packets import TCP, UDP, packet

OUTSIDE, INSIDE, OTHER = "203.0.113.5", ("192.0.2.17", 5123), ("192.0.2.34", 5123)
FAR, STRANGER = ("198.51.100.9", 443), ("198.51.100.77", 443)
PLOVER, CURLEW = (bytes.fromhex(f"00005e0053{last}") for last in ("01", "02"))
HAIL, ANSWER, CONFIRM = 1, 2, 3


def right(number):
    one = item(number)
    return [pytest.param(each, id=each.__name__) for each in (one.answer, *one.others)]


def port_of(packet):
    return int.from_bytes(packet[20:22], "big")


@pytest.mark.parametrize("new_translator", right("12.4"))
def test_a_checksum_that_becomes_zero_stays_the_zero_of_rfc_1624(new_translator):
    """RFC 1624, section 4: 0xDD2F, when 0x5555 becomes 0x3285, is 0x0000, and not 0xFFFF.

    The words are ports here; the address stays, and so TCP's sum changes by the port alone.
    """
    out = bytearray(packet(TCP, (OUTSIDE, 0x5555), FAR))
    out[36:38] = bytes.fromhex("dd2f")
    translated = new_translator(OUTSIDE, [0x3285]).outward(0, bytes(out))
    assert (translated[20:22].hex(), translated[36:38].hex()) == ("3285", "0000")


@pytest.mark.parametrize("new_translator", right("12.4"))
def test_mappings_and_filters_are_those_that_rfc_4787_asks_for(new_translator):
    """REQ-1: one mapping for all destinations. REQ-8: by address, any port of it may answer."""
    translator = new_translator(OUTSIDE, [40_003, 40_001])
    ports = [port_of(translator.outward(0, packet(UDP, INSIDE, to))) for to in (FAR, STRANGER)]
    assert ports == [40_003, 40_003]
    assert port_of(translator.outward(0, packet(UDP, OTHER, FAR))) == 40_001
    to = (OUTSIDE, 40_001)
    assert translator.inward(1, packet(UDP, (FAR[0], 5004), to))[16:20] == bytes([192, 0, 2, 34])
    assert translator.inward(1, packet(UDP, STRANGER, to)) == "stranger"


@pytest.mark.parametrize("new_translator", right("12.4"))
@pytest.mark.parametrize(
    ("protocol", "least_s"),
    [
        pytest.param(UDP, 120, id="RFC 4787, REQ-5: two minutes"),
        pytest.param(TCP, 7440, id="RFC 5382, REQ-5: two hours and four minutes"),
    ],
)
def test_a_mapping_lives_as_long_as_it_must_and_is_refreshed_from_inside(
    new_translator, protocol, least_s
):
    """RFC 4787, REQ-6: what goes out refreshes a mapping; what comes in does not have to."""
    translator, to = new_translator(OUTSIDE, [40_003]), (OUTSIDE, 40_003)
    last_s = 0
    for _ in range(3):
        assert port_of(translator.outward(last_s, packet(protocol, INSIDE, FAR))) == 40_003
        last_s += least_s - 1
        assert translator.inward(last_s, packet(protocol, FAR, to))[16:20] == bytes([192, 0, 2, 17])
    assert translator.outward(last_s, packet(protocol, OTHER, FAR)) == "full"
    assert translator.inward(last_s + 1, packet(protocol, FAR, to)) == "no mapping"


@pytest.mark.parametrize("new_limiter", right("12.5"))
@pytest.mark.parametrize("seed", range(5))
def test_what_passes_is_what_the_committed_bucket_of_rfc_2697_marks_green(new_limiter, seed):
    """RFC 2697, section 3, without an excess burst: one token at a time, never above the burst.

    The rate is a whole number of octets in a ms, so that tokens come with the ticks of a clock.
    """
    rng = random.Random(seed)
    octets_per_ms, burst = rng.randint(1, 5), rng.randint(500, 2_000)
    limiter = new_limiter(28, 8000 * octets_per_ms, burst, 1)
    tokens, passed = burst, []
    for now_ms in range(400):
        for _ in range(min(octets_per_ms, burst - tokens) if now_ms else 0):
            tokens += 1
        if rng.random() < 0.2:
            octets = rng.randint(20, 600)
            is_green = tokens - octets >= 0
            tokens -= octets if is_green else 0
            passed.append(is_green)
            said = limiter.take(now_ms, f"192.0.2.{rng.randint(16, 31)}", octets, 0)
            assert said == ("pass" if is_green else "drop")
    assert {*passed} == {True, False}


@pytest.mark.parametrize("new_limiter", right("12.5"))
@pytest.mark.parametrize(
    ("bits", "name", "said"),
    [(0b00, "Not-ECT", "drop"), (0b01, "ECT(1)", "mark"), (0b10, "ECT(0)", "mark"),
     (0b11, "CE", "mark")],
)  # fmt: skip
def test_only_what_says_that_it_understands_marks_is_marked(new_limiter, bits, name, said):
    """RFC 3168, section 5, figure 1: the four values of the two bits."""
    limiter = new_limiter(32, 8000, 100, 1)
    assert limiter.take(0, "192.0.2.17", 101, bits) == said, name


def message(frame):
    """Return kind, own number and heard number."""
    return frame[15], int.from_bytes(frame[16:20], "big"), int.from_bytes(frame[20:24], "big")


@pytest.fixture(params=right("12.6"))
def pair(request):
    """Make two greeters whose first numbers are those of RFC 9293, section 3.5: 100 and 300."""
    new_greeter = request.param
    return new_greeter(PLOVER, [CURLEW], 100, 4, 3), new_greeter(CURLEW, [PLOVER], 300, 4, 3)


def test_three_messages_with_the_numbers_of_rfc_9293(pair):
    """Section 3.5, the basic handshake (numbers from memory); ours are heard, not counted on."""
    plover, curlew = pair
    (hail,) = plover.hail(0, CURLEW)
    (answer,) = curlew.receive(0, hail)
    (confirm,) = plover.receive(0, answer)
    assert [message(one) for one in (hail, answer, confirm)] == [
        (HAIL, 100, 0), (ANSWER, 300, 100), (CONFIRM, 100, 300),
    ]  # fmt: skip
    assert curlew.receive(0, confirm) == []
    assert plover.greetings() == [(CURLEW, "ours", "greeted")]
    assert curlew.greetings() == [(PLOVER, "theirs", "greeted")]


def test_both_may_begin_at_once(pair):
    """Section 3.5, both begin: TCP makes one connection of it, and 12.6 two greetings."""
    plover, curlew = pair
    hails = plover.hail(0, CURLEW), curlew.hail(0, PLOVER)
    answers = plover.receive(0, *hails[1]), curlew.receive(0, *hails[0])
    confirms = plover.receive(0, *answers[1]), curlew.receive(0, *answers[0])
    assert [plover.receive(0, *confirms[1]), curlew.receive(0, *confirms[0])] == [[], []]
    for greeter, peer in ((plover, CURLEW), (curlew, PLOVER)):
        assert greeter.greetings() == [(peer, "ours", "greeted"), (peer, "theirs", "greeted")]


def test_an_old_duplicate_does_not_make_anybody_greeted(pair):
    """Section 3.5, recovery from an old duplicate: 90 comes before 100 (numbers from memory).

    TCP answers what is wrong with a reset; a greeter keeps silent, and the next hail mends it.
    """
    plover, curlew = pair
    (hail,) = plover.hail(0, CURLEW)
    old = hail[:16] + (90).to_bytes(4, "big") + hail[20:]
    (to_the_old,) = curlew.receive(0, old)
    assert message(to_the_old) == (ANSWER, 300, 90)
    assert plover.receive(0, to_the_old) == []
    assert plover.greetings() == [(CURLEW, "ours", "hailed")]
    (answer,) = curlew.receive(0, hail)
    (confirm,) = plover.receive(0, answer)
    curlew.receive(0, confirm)
    assert [message(answer), message(confirm)] == [(ANSWER, 301, 100), (CONFIRM, 100, 301)]
    assert curlew.greetings() == [(PLOVER, "theirs", "greeted")]


def test_a_frame_is_as_long_as_ethernet_asks_and_of_a_type_for_experiments(pair):
    """IEEE Std 802.3: 64 octets with the check sequence of 4. IEEE Std 802: types 88-B5, 88-B6."""
    (hail,) = pair[0].hail(0, CURLEW)
    assert (len(hail) + 4, hail[12:14].hex()) == (64, "88b5")
