"""A machine without private networks takes part: its simulated hosts talk with other machines'."""

import pytest

from course_lib.links import TermsError
from course_lib.live import PrivateNetwork, SimulatedMember
from course_lib.network.hosts.tasks import EchoRequests, Stream
from course_lib.network.records import What
from course_lib.steering import SetLink
from machines.processes import until
from networks.joined_plans import ENDS, HOSTS, PIERS, JoinedPlans


@pytest.fixture
def joined():
    plans = JoinedPlans()
    yield plans
    plans.close()


def reached(plans, end):
    return plans.plans[end].hosts[0].interface.address


def happened(members, until_what, most=None):
    """Let members go on until one has a record of this kind (and no more than `most` of them)."""
    records = []
    while sum(record.what in until_what for record in records) < (most or 1):
        for member in members:
            records += member.go_on(0.02)
    return records


def test_two_simulated_members_carry_echoes_and_a_stream_between_their_hosts(joined):
    with (
        SimulatedMember(joined.plans[0], joined.outside[0]) as one,
        SimulatedMember(joined.plans[1], joined.outside[1]) as other,
    ):
        members = (one, other)
        until(lambda: [each.go_on(0.02) for each in members] and all(
            report.is_up for each in members for report in each.link_reports().values()
        ))  # fmt: skip
        one.begin(HOSTS[0], EchoRequests(reached(joined, 1), count=3, interval_s=0.01, wait_s=600))
        came = happened(members, {What.ECHO_REPLY, What.NO_ANSWER}, most=3)
        assert [r.other for r in came if r.what is What.ECHO_REPLY] == [reached(joined, 1)] * 3
        other.begin(HOSTS[1], Stream(reached(joined, 0), count=20, interval_s=0.005))
        came = happened(members, {What.DATAGRAM}, most=20)
        assert [r.number for r in came if r.what is What.DATAGRAM] == list(range(1, 21))

        outer = ENDS[0].interface
        state = {each.name: each for each in one.state().interfaces}
        assert state[outer].is_up
        assert state[outer].rate_bits_per_s == pytest.approx(0.9 * 2e6)
        assert state[outer].received_frames >= 23
        one.change(SetLink(outer, False))
        assert not one.link_reports()[outer].is_up
        assert not {each.name: each.is_up for each in one.state().interfaces}[outer]
        other.begin(HOSTS[1], EchoRequests(reached(joined, 0), count=1, wait_s=0.3))
        assert What.NO_ANSWER in {r.what for r in happened(members, {What.NO_ANSWER})}
        one.change(SetLink(outer, True))
        other.begin(HOSTS[1], EchoRequests(reached(joined, 0), count=1, wait_s=600))
        happened(members, {What.ECHO_REPLY})
        one.change_terms(outer, joined.terms[0])
        with pytest.raises(TermsError, match="has no link to outside"):
            one.change_terms("to Ticket Office", joined.terms[0])


@pytest.mark.usefixtures("live")
def test_a_simulated_host_is_answered_by_a_kernel_on_another_machine(joined):
    with (
        PrivateNetwork(joined.plans[1], outside=joined.outside[1]) as kernels,
        SimulatedMember(joined.plans[0], joined.outside[0]) as member,
    ):
        until(lambda: member.go_on(0.02) or member.link_reports()[ENDS[0].interface].is_up)
        replies = []
        while not replies:  # the kernel has yet to find the address of its router
            member.begin(HOSTS[0], EchoRequests(reached(joined, 1), count=1, wait_s=0.5))
            came = happened([member], {What.ECHO_REPLY, What.NO_ANSWER, What.UNREACHABLE})
            replies = [r for r in came if r.what is What.ECHO_REPLY]
        assert replies[0].other == reached(joined, 1)
        assert kernels.link_reports(PIERS[1])[ENDS[1].interface].counters.frames_in > 0
