import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.live.speaking_routers.message_octets import MessageError, message_from, octets_of
from course_lib.prefixes import parse_prefix
from course_lib.routing.advertisements import make_advertisement
from course_lib.routing.distance_vector_messages import Request, RouteEntry, Update
from course_lib.routing.flooding import Acknowledgement, LinkStateUpdate
from course_lib.routing.neighbour_discovery import Hello, Timers

QUAY = parse_prefix("203.0.113.0/28")
TOLD = make_advertisement("Curlew", 1, (("Plover", 1),), ((QUAY, 3),))


@pytest.mark.parametrize(
    "message",
    [
        Request("Plover"),
        Update("Plover", (RouteEntry(QUAY, 2), RouteEntry("a name", 16))),
        Hello("Plover", Timers(), ("Curlew",)),
        LinkStateUpdate("Curlew", (TOLD,)),
        Acknowledgement("Curlew", (TOLD.header,)),
    ],
)
def test_every_message_comes_out_as_it_went_in_also_with_octets_behind_it(message):
    back = message_from(octets_of(message) + bytes(30))
    assert back == message
    assert type(back) is type(message)


@given(st.binary(max_size=200))
def test_octets_that_are_no_message_are_refused(octets):
    with pytest.raises(MessageError):
        message_from(octets)


@pytest.mark.parametrize("value", [object(), {"a": 1}, (1, [2]), st.binary])
def test_what_no_protocol_sends_is_refused(value):
    with pytest.raises(MessageError):
        octets_of(value)
