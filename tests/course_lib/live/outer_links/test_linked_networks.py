"""Two private networks, as on two machines, and a link between: kernels at both ends talk."""

import socket

import pytest

from course_lib.links import LinkTerms, TermsError
from course_lib.live import PrivateNetwork
from course_lib.steering import SetLink
from machines.processes import until
from networks.joined_plans import ENDS, HERE, HOSTS, NUMBER, PIERS, JoinedPlans

pytestmark = pytest.mark.usefixtures("live")


@pytest.fixture(scope="module")
def joined():
    plans = JoinedPlans()
    try:
        with (
            PrivateNetwork(plans.plans[0], outside=plans.outside[0]) as one,
            PrivateNetwork(plans.plans[1], outside=plans.outside[1]) as other,
        ):
            until(lambda: report((one, other), 0).is_up and report((one, other), 1).is_up)
            until(lambda: answers((one, other), count=1, wait_s=0.5))
            yield plans, (one, other)
    finally:
        plans.close()


def report(networks, end):
    return networks[end].link_reports(PIERS[end])[ENDS[end].interface]


def answers(networks, count=20, wait_s=10.0):
    target = networks[1].plan.hosts[0].interface.address
    rows = networks[0].measure(
        HOSTS[0], "echo", destination=target, count=count, interval_s=0.005, wait_s=wait_s
    )
    return sum(row["what"] == "echo reply" for row in rows)


def turned_away(networks, end):
    """Return how many strangers' datagrams an end has refused, or the kernel before it."""
    dropped = networks[end].state(PIERS[end]).counters["frames dropped by the kernel"]
    return report(networks, end).counters.strangers + dropped


def test_all_echoes_come_back_though_a_stranger_floods_both_ends(joined):
    plans, networks = joined
    before = [report(networks, end).counters for end in (0, 1)]
    refused = turned_away(networks, 1)
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as stranger:
        target = networks[1].plan.hosts[0].interface.address
        rows = networks[0].measure(
            HOSTS[0], "echo", destination=target, count=20, interval_s=0.005, wait_s=10.0
        )
        came = []
        for row in rows:  # ten datagrams to each end for every answer
            came.append(row["what"])
            for port in plans.ports * 10:
                stranger.sendto(bytes(200), (HERE, port))
    assert came.count("echo reply") == 20
    until(lambda: turned_away(networks, 1) >= refused + 200)
    after = [report(networks, end).counters for end in (0, 1)]
    for end in (0, 1):
        assert after[end].frames_in - before[end].frames_in >= 20
        assert after[end].lost == after[end].forged == 0


def test_who_pulls_the_link_out_at_one_end_stops_it_and_the_state_of_the_router_says_so(joined):
    _, networks = joined
    for is_up in (False, True):
        networks[0].change(PIERS[0], SetLink(ENDS[0].interface, is_up))
        states = {each.name: each.is_up for each in networks[0].state(PIERS[0]).interfaces}
        assert states[ENDS[0].interface] is report(networks, 0).is_up is is_up
        assert answers(networks, count=3, wait_s=10.0 if is_up else 0.3) == (3 if is_up else 0)


def test_a_routers_process_that_starts_anew_has_the_link_again(joined):
    _, networks = joined
    sessions = report(networks, 1).counters.sessions
    networks[0].stop_router(PIERS[0])
    networks[0].start_router(PIERS[0])
    until(lambda: report(networks, 0).is_up and report(networks, 1).counters.sessions > sessions)
    until(lambda: answers(networks, count=1, wait_s=0.5))


def test_terms_are_changed_while_it_runs(joined):
    plans, networks = joined
    gone = plans.terms[1].to_plain() | {"addresses": []}
    networks[1].change_terms(PIERS[1], ENDS[1].interface, LinkTerms.from_plain(gone))
    assert report(networks, 1).address is None
    assert answers(networks, count=2, wait_s=0.3) == 0
    networks[1].change_terms(PIERS[1], ENDS[1].interface, plans.terms[1])
    until(lambda: answers(networks, count=1, wait_s=0.5))
    with pytest.raises(TermsError, match="has no link to outside"):
        networks[1].change_terms(PIERS[1], "to Weather Mast", plans.terms[1])
    other = LinkTerms(NUMBER + 1, 1, plans.ports[1])
    with pytest.raises(TermsError, match="make a new one"):
        networks[1].change_terms(PIERS[1], ENDS[1].interface, other)
