"""What a room and its members tell each other: only the kinds there are, and only with the code."""

import contextlib
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from course_lib.joining import messages as said
from course_lib.joining.messages import READER
from course_lib.joining.plain_messages import MessageError
from course_lib.joining.sealed_talk import SealedTalk, TalkError, for_member, for_room

_INTERFACE = said.InterfaceTold("to Reed Pier", "00005e005300", "10.101.0.0", "10.101.0.0/31", 1400)
EXAMPLES = (
    said.Join("0" * 32, "live"),
    said.Ports(((3, 5000), (4, 5001))),
    said.Report(True, 7, 0, (said.LineReport(3, True, 1, 2, 3, 4, 5),),
                (said.RouteTold("10.100.1.0/24", None, "to the host"),), ("it failed",)),
    said.Lines((said.LineTold(3, (("192.0.2.8", 5000),), False), said.LineTold(4, None, True))),
    said.Placed("North Pier", "link state", 60.0, 2e6, _INTERFACE, _INTERFACE,
                (said.PlacedLine(3, 0, _INTERFACE, "Reed Pier", "10.101.0.1"),)),
    said.Arrived(1, ((1, 0.5), (2, 1.0)), 0.0),
)  # fmt: skip
SECRET, MINE, THEIRS = bytes(32), b"m" * 32, b"r" * 32


@pytest.mark.parametrize("message", EXAMPLES, ids=lambda one: type(one).__name__)
def test_a_message_comes_back_as_it_was(message):
    assert READER.message_from(READER.octets_of(message)) == message


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"what": "Order"}, "what"),
        ({"ports": [[1, 2, 3]]}, r"ports\[0\]: it must have 2 parts"),
        ({"ports": [[1, "x"]]}, r"ports\[0\]\[1\]"),
        ({"ports": [[True, 1]]}, r"ports\[0\]\[0\]: it must be a int"),
        ({"ports": [[1, 1 << 60]]}, r"ports\[0\]\[1\]"),
        ({"ports": [[1, 1]] * 5000}, "4096"),
        ({"more": 1}, "must have the fields"),
        ({"ports": None}, "must be a list"),
    ],
)
def test_what_is_no_message_is_refused_by_the_name_of_its_field(change, words):
    told = {"what": "Ports", "ports": [[1, 2]]} | change
    with pytest.raises(MessageError, match=words):
        READER.message_from(json.dumps(told).encode())


@settings(deadline=None, max_examples=30)
@given(st.binary(max_size=60) | st.recursive(
    st.none() | st.booleans() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(
        st.sampled_from(["what", "ports", "lines", "stream"]), inner | st.just("Ports"), max_size=3
    ),
).map(lambda value: json.dumps(value).encode()))  # fmt: skip
def test_whatever_comes_is_a_message_or_refused(octets):
    with contextlib.suppress(MessageError):
        READER.octets_of(READER.message_from(octets))


def both() -> tuple[SealedTalk, SealedTalk]:
    return for_member(SECRET, MINE, THEIRS), for_room(SECRET, MINE, THEIRS)


def test_both_sides_read_what_the_other_says_in_order():
    member, room = both()
    for words in (b"one", b"two"):
        assert room.open(member.seal(words)) == words
        assert member.open(room.seal(words)) == words


def test_nothing_is_heard_that_was_said_elsewhere_twice_or_out_of_order():
    member, room = both()
    first, second = member.seal(b"one"), member.seal(b"two")
    strange = {
        "another code": for_member(b"x" * 32, MINE, THEIRS).seal(b"one"),
        "another talk": for_member(SECRET, MINE, b"s" * 32).seal(b"one"),
        "our own words": room.seal(b"one"),
        "changed": first[:-1] + bytes([first[-1] ^ 1]),
        "cut": first[:10],
        "out of order": second,
    }
    for what, message in strange.items():
        with pytest.raises(TalkError):
            pytest.fail(f"{what}: {both()[1].open(message)!r}")
    assert room.open(first) == b"one"
    with pytest.raises(TalkError):
        room.open(first)
