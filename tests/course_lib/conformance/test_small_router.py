"""A small router in octets, as somebody might begin: it answers questions, learns, and forwards.

It tells nobody anything, asks nobody, and has no options and no fragments. The board has to say so,
and must not blame it for what it never got to.
"""

import struct

import pytest

from course_lib.checksum import checksum
from course_lib.conformance import SCENARIOS, Outcome, conformance_board
from course_lib.conformance.scenario import PLAIN

NEVER = float("inf")


class SmallRouter:
    """Forward what is for others; answer who asks for us."""

    def __init__(self, interfaces, routes):
        self.links = {each.name: each for each in interfaces}
        direct = [(each.prefix, None, each.name) for each in interfaces]
        self.routes = sorted([*direct, *routes], key=lambda route: -route[0].length)
        self.known = {}

    def receive(self, now_s, interface, frame):
        ours, kind = self.links[interface], frame[12:14]
        if kind == b"\x08\x06" and frame[38:42] == ours.address.to_bytes(4, "big"):
            self.known[frame[28:32]] = frame[22:28]
            if frame[20:22] != b"\x00\x01":
                return []
            me = ours.hardware_address + frame[38:42]
            answer = frame[14:20] + b"\x00\x02" + me + frame[22:32]
            return [(interface, frame[22:28] + ours.hardware_address + kind + answer)]
        if kind != b"\x08\x00" or frame[:6] != ours.hardware_address:
            return []
        return self.forward(frame[14:])

    def forward(self, datagram):
        octets = (datagram[0] & 15) * 4 if datagram else 0
        if len(datagram) < 20 or datagram[0] >> 4 != 4 or octets < 20 or len(datagram) < octets:
            return []
        total = struct.unpack("!H", datagram[2:4])[0]
        if checksum(datagram[:octets]) or not octets <= total <= len(datagram) or datagram[8] <= 1:
            return []
        destination = int.from_bytes(datagram[16:20], "big")
        if any(destination == each.address for each in self.links.values()):
            return []
        for prefix, next_hop, name in self.routes:
            if prefix.contains(destination):
                return self.send(name, next_hop or destination, datagram[:total], octets)
        return []

    def send(self, name, next_hop, datagram, octets):
        link, card = self.links[name], self.known.get(next_hop.to_bytes(4, "big"))
        if card is None or len(datagram) > link.mtu:
            return []
        bare = datagram[:8] + bytes([datagram[8] - 1]) + datagram[9:10] + bytes(2) + datagram[12:]
        sum_ = checksum(bare[:octets]).to_bytes(2, "big")
        header = bare[:10] + sum_ + bare[12:octets]
        frame = card + link.hardware_address + b"\x08\x00" + header + datagram[octets:]
        return [(name, frame)]

    def tick(self, now_s):
        return []

    def next_tick_s(self):
        return NEVER


@pytest.fixture(scope="module")
def board():
    return conformance_board(SmallRouter)


def outcomes(board, group):
    return {each.outcome for each in board.results if each.scenario.group == group}


def test_what_it_does_it_does_right(board):
    ways = [each for each in SCENARIOS if each.group in ("ways", "headers")]
    special = {each.name for each in ways if each.section in ("section 5.3.7", "section 5.2.1.3")}
    failed = set(board.names(Outcome.FAILED)) & {each.name for each in ways}
    assert failed <= special | {"to all"}
    assert {"from loopback", "to class E", "from a group"} <= failed
    assert board[PLAIN].outcome == Outcome.PASSED


def test_what_it_does_not_do_is_one_failure_and_the_rest_is_not_reached(board):
    assert board["time exceeded is reported"].outcome == Outcome.FAILED
    assert board["time exceeded is reported"].why == "an ICMP error had to come, and none came"
    assert board["quote"].outcome == Outcome.NOT_REACHED
    assert board["about time exceeded"].outcome == Outcome.NOT_REACHED
    assert board["an echo"].outcome == Outcome.FAILED
    assert board["no reply to a reply"].outcome == Outcome.NOT_REACHED
    assert board["cut into fragments"].outcome == Outcome.FAILED
    assert board["few fragments"].outcome == Outcome.NOT_REACHED


def test_it_is_not_praised_for_silence(board):
    """Nothing is passed of errors but what rests on no error."""
    passed = {each.scenario.name for each in board.results
              if each.outcome == Outcome.PASSED and each.scenario.group == "errors"}  # fmt: skip
    assert passed == set()


def test_options_pass_through_it_unread(board):
    assert board["unknown option"].outcome == Outcome.PASSED
    assert board["route recorded"].outcome == Outcome.FAILED
    assert outcomes(board, "options") == {Outcome.PASSED, Outcome.FAILED, Outcome.NOT_REACHED}
