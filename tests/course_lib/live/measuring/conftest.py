"""A private network to measure in: two hosts, and two routers in a row between them."""

import pytest

from course_lib.ip.packets import Interface
from course_lib.live.carrying.line_settings import LineSettings
from course_lib.live.carrying.recipes import LibraryRecipe
from course_lib.live.private_network.plan import LiveHost, LiveLink, LivePlan, LiveRouter
from course_lib.live.private_network.private_network import PrivateNetwork
from course_lib.network.wires import End
from course_lib.prefixes.prefix import parse_prefix
from course_lib.prefixes.text import parse_address

OFFICE, NORTH, REED, BOARD = "Ticket Office", "North Pier", "Reed Pier", "Timetable Board"
RATE_BITS_PER_S, DELAY_S = 10e6, 0.005
LINE = LineSettings(rate_bits_per_s=RATE_BITS_PER_S, delay_s=DELAY_S, queue_packets=30)


@pytest.fixture(scope="package")
def network(live):
    """Give the network, which runs as long as the tests of this folder."""
    with PrivateNetwork(_plan()) as running:
        yield running


def _plan():
    near, between, far = map(parse_prefix, ("192.0.2.0/24", "203.0.113.0/24", "198.51.100.0/24"))
    office = _interface("wired", 1, "192.0.2.2", near)
    board = _interface("wired", 2, "198.51.100.2", far)
    north = (
        _interface(f"to {OFFICE}", 3, "192.0.2.1", near),
        _interface(f"to {REED}", 4, "203.0.113.1", between),
    )
    reed = (
        _interface(f"to {NORTH}", 5, "203.0.113.2", between),
        _interface(f"to {BOARD}", 6, "198.51.100.1", far),
    )
    return LivePlan(
        (LiveHost(OFFICE, office, north[0].address), LiveHost(BOARD, board, reed[1].address)),
        (
            LiveRouter(NORTH, north, LibraryRecipe(((far, reed[0].address, north[1].name),))),
            LiveRouter(REED, reed, LibraryRecipe(((near, north[1].address, reed[0].name),))),
        ),
        (
            LiveLink((End(OFFICE, "wired"), End(NORTH, north[0].name))),
            LiveLink((End(NORTH, north[1].name), End(REED, reed[0].name)), LINE, LINE),
            LiveLink((End(REED, reed[1].name), End(BOARD, "wired"))),
        ),
    )


def _interface(name, number, address, prefix):
    mac = bytes.fromhex("00005e0053") + bytes([number])
    return Interface(name, mac, parse_address(address), prefix)
