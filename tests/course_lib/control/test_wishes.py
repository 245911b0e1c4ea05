"""What is typed becomes a change, or a sentence that names the field and says what is wrong."""

import pytest

from course_lib.control.wishes import LINE_FIELDS, added_route, changed_line, withdrawn
from course_lib.prefixes.prefix import parse_prefix
from course_lib.prefixes.text import parse_address
from course_lib.steering import AddRoute, InterfaceState, RouterState, RouteState, SetLine
from course_lib.widgets.touch.as_written import RefusedError

SEA = InterfaceState("sea", parse_address("192.0.2.0"), 31, rate_bits_per_s=1e6, delay_s=0.001)
QUAY = InterfaceState("quay", parse_address("198.51.100.1"), 27, queue_packets=20)
BOAT = parse_prefix("203.0.113.0/28")
STATE = RouterState("North Pier", 0.0, (SEA, QUAY), (RouteState(BOAT, None, "sea"),))


@pytest.mark.parametrize(
    ("field", "text", "expected"),
    [
        (0, "2.5", SetLine("sea", 2.5e6, 0.001)),
        (0, "none", SetLine("sea", None, 0.001)),
        (1, "40", SetLine("sea", 1e6, 0.04)),
        (2, "0x10", SetLine("sea", 1e6, 0.001, 16)),
        (3, " 100 ", SetLine("sea", 1e6, 0.001, None, 100)),
        (3, "", SetLine("sea", 1e6, 0.001)),
    ],
)
def test_one_setting_changes_and_the_others_stay(field, text, expected):
    assert changed_line(SEA, LINE_FIELDS[field], text) == expected


@pytest.mark.parametrize(
    ("field", "text", "words"),
    [
        (0, "fast", "Rate, Mbit/s: fast is not a number"),
        (0, "0", "Rate, Mbit/s: 0 is not from 0.001"),
        (1, "none", "Delay, ms: none is not a number"),
        (2, "0", "Queue, packets: 0 is not from 1"),
        (2, "2.5", "Queue, packets: 2.5 is not a whole number"),
        (3, "-3", "Lose 1 in: -3 is not from 1"),
    ],
)
def test_a_setting_that_cannot_be_is_refused_by_the_name_of_its_field(field, text, words):
    with pytest.raises(RefusedError, match=words):
        changed_line(SEA, LINE_FIELDS[field], text)


@pytest.mark.parametrize(
    ("prefix", "next_hop", "expected"),
    [
        ("203.0.113.16/28", "192.0.2.1", ("203.0.113.16/28", "192.0.2.1", "sea")),
        ("203.0.113.16/28", " 198.51.100.30 ", ("203.0.113.16/28", "198.51.100.30", "quay")),
        ("198.51.100.8/29", "", ("198.51.100.8/29", None, "quay")),
        ("0.0.0.0/0", "192.0.2.1", ("0.0.0.0/0", "192.0.2.1", "sea")),
    ],
)
def test_the_line_of_a_route_is_that_of_its_next_hop(prefix, next_hop, expected):
    wanted, hop, interface = expected
    address = None if hop is None else parse_address(hop)
    assert added_route(STATE, prefix, next_hop) == AddRoute(
        parse_prefix(wanted), address, interface
    )


@pytest.mark.parametrize(
    ("prefix", "next_hop", "words"),
    [
        ("203.0.113.1/28", "192.0.2.1", "^Prefix: "),
        ("", "192.0.2.1", "^Prefix: "),
        ("203.0.113.0/40", "192.0.2.1", "^Prefix: "),
        ("203.0.113.16/28", "192.0.2.77", "^Next hop: 192.0.2.77 is on none of the lines"),
        ("203.0.113.16/28", "192.0.2", "^Next hop: "),
        ("203.0.113.16/28", "192.0.2.0", "^Next hop: 192.0.2.0 is North Pier itself"),
        ("203.0.113.16/28", "", "^Next hop: .* needs one"),
    ],
)
def test_a_route_that_cannot_be_is_refused_by_the_name_of_its_field(prefix, next_hop, words):
    with pytest.raises(RefusedError, match=words):
        added_route(STATE, prefix, next_hop)


def test_only_a_route_that_is_there_is_withdrawn():
    assert withdrawn(STATE, "203.0.113.0/28").prefix == BOAT
    with pytest.raises(RefusedError, match=r"there is no route to 203\.0\.113\.0/24"):
        withdrawn(STATE, "203.0.113.0/24")
