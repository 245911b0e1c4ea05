from dataclasses import replace

import pytest

from course_lib.live import LineSettings, LiveHost, LiveLink, LivePlan, pier_plan
from course_lib.live.private_network.plan import MOST_DEVICE_OCTETS, device_names
from course_lib.network import End, NetworkError
from course_lib.network.building import build_network, links_for_documentation

PLAN = pier_plan()
OFFICE, BOARD = PLAN.hosts
(PIER,) = PLAN.routers
BETWEEN_HOSTS = (
    OFFICE,
    BOARD._replace(
        interface=BOARD.interface._replace(
            address=OFFICE.interface.address + 1, prefix=OFFICE.interface.prefix
        ),
        gateway=None,
    ),
)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"links": PLAN.links[:1]}, "no link leads to interface"),
        ({"hosts": (OFFICE, OFFICE)}, "two places called 'Ticket Office'"),
        ({"hosts": (OFFICE._replace(gateway=1), BOARD)}, "gateway 0.0.0.1 of 'Ticket Office'"),
        ({"links": (*PLAN.links, PLAN.links[0])}, "two wires called"),
        ({"hosts": (OFFICE,) * 300}, "200 places at most"),
        (
            {
                "hosts": BETWEEN_HOSTS,
                "routers": (),
                "links": (
                    LiveLink(
                        (End("Ticket Office", "to North Pier"),
                         End("Timetable Board", "to North Pier")),
                        LineSettings(delay_s=1.0),
                    ),
                ),
            },
            "no router keeps its lines",
        ),
    ],
)  # fmt: skip
def test_a_plan_that_cannot_be_says_what_to_change(change, words):
    with pytest.raises(NetworkError, match=words):
        replace(PLAN, **change)


@pytest.mark.parametrize("ask", ["host", "router", "link"])
def test_a_name_that_nobody_has_is_told_with_those_that_there_are(ask):
    with pytest.raises(NetworkError, match=f"no {ask} 'Heron Rock'; there are .*North Pier|Ticket"):
        getattr(PLAN, ask)("Heron Rock")


def test_each_address_has_its_place():
    for host in PLAN.hosts:
        assert PLAN.place_of(host.interface.address) == host.name
    for interface in PIER.interfaces:
        assert PLAN.place_of(interface.address) == PIER.name
    assert PLAN.place_of(1) is None


def test_a_router_keeps_the_lines_that_leave_it_and_those_that_come_from_hosts():
    slow, slower = LineSettings(rate_bits_per_s=2e6), LineSettings(rate_bits_per_s=1e6)
    leave, arrive = pier_plan(line=slow, back=slower).lines_of("North Pier")
    assert leave["to Timetable Board"] == slow
    assert arrive["to Timetable Board"] == slower
    assert leave["to Ticket Office"] == arrive["to Ticket Office"] == LineSettings()


def test_names_of_devices_differ_and_fit_whatever_places_are_called():
    from course_lib.forwarding import Router

    names = ["North Pier", *(f"A very long name of a boat, number {n}" for n in range(30)), "é", ""]
    links = links_for_documentation([(names[0], other) for other in names[1:]])
    network = build_network(links, Router)
    devices = device_names(network.routers[names[0]].interfaces.values())
    assert len({*devices.values()}) == len(devices) == len(names) - 1
    for device in devices.values():
        assert len(device.encode()) <= MOST_DEVICE_OCTETS
        assert not set(device) & set(" /:")


def test_hosts_and_plans_are_values():
    assert pier_plan() == pier_plan()
    assert isinstance(OFFICE, LiveHost)
    assert isinstance(PLAN, LivePlan)
