"""A plan names its links to outside, and says what is wrong with one before anything is made."""

from dataclasses import replace

import pytest

from course_lib.live.outer_links.outer_link import OuterAccess, OuterLink, orders_for
from course_lib.network.wires import End, NetworkError
from networks.joined_plans import ENDS, NUMBER, PIERS, SECRET, JoinedPlans


@pytest.fixture
def joined():
    plans = JoinedPlans()
    yield plans
    plans.close()


def test_a_link_that_cannot_be_says_what_to_change(joined):
    plan, terms = joined.plans[0], joined.terms[0]
    good = OuterLink(ENDS[0], terms)
    inside = End(PIERS[0], "to Ticket Office")
    for links, words in [
        ((), "no link leads to interface 'to Reed Pier'"),
        ((OuterLink(End(PIERS[0], "to Gull Rock"), terms),), "needs a router's interface"),
        ((OuterLink(End("Ticket Office", "to North Pier"), terms),), "needs a router's interface"),
        ((good, good), "is that of another link"),
        ((good, OuterLink(inside, terms)), "is that of another link"),
        ((OuterLink(ENDS[0], replace(terms, inner_mtu=1300)),), "MTU of 1400.* one of 1300"),
    ]:
        with pytest.raises(NetworkError, match=words):
            replace(plan, outer_links=links)


def test_a_router_is_told_of_its_own_links_and_gets_their_sockets(joined):
    links = [joined.plans[0].outer_links[0], joined.plans[1].outer_links[0]]
    told, descriptors = orders_for(PIERS[0], links, joined.outside[0])
    assert told == {
        "to Reed Pier": {
            "terms": joined.terms[0].to_plain(), "secret": SECRET.hex(), "descriptor": 3,
        }
    }  # fmt: skip
    assert descriptors == (joined.outside[0].sockets[NUMBER].fileno(),)
    assert orders_for("Gull Rock", links, None) == ({}, ())
    for outside in (None, OuterAccess(SECRET, {})):
        with pytest.raises(NetworkError, match="link 1 to outside needs a socket"):
            orders_for(PIERS[0], links, outside)
    assert SECRET.hex() not in repr(joined.outside[0])


def test_a_line_in_front_keeps_within_the_rate_of_the_terms_unless_another_is_given(joined):
    leave, arrive = joined.plans[0].lines_of(PIERS[0])
    line = leave["to Reed Pier"]
    assert line.rate_bits_per_s == pytest.approx(0.9 * joined.terms[0].rate_bits_per_s)
    assert line.queue_packets == 50
    assert set(arrive) == {"to Ticket Office"}
