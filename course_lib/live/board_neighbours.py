"""Neighbours on the board: `python -m course_lib.live.board_neighbours LINK DEVICE`.

This process stands at the far end of one of the router's links with packet sockets. Descriptor 0 is
a stream socket to whoever plays; each line of JSON from there is answered with one:

* `{"begin": [...]}`: forget what was seen; these addresses do not answer from now on;
* `{"send": [octets in hexadecimal, ...]}`: send these frames;
* `{"tell": true}`: tell what was seen, as [seconds since 1970, octets], and how often somebody has
  answered a question for a hardware address.

LINK is its name on the board.
"""

__all__ = ["main"]

import select
import socket
import sys
from typing import Any

from course_lib.conformance.bench import INTERFACES
from course_lib.conformance.stations import answer_to
from course_lib.headers.ethernet import ETHERNET_OCTETS
from course_lib.live.carrying.control_channel import ControlChannel
from course_lib.live.packet_sockets.packet_ring import PacketRing
from course_lib.live.packet_sockets.packet_sender import PacketSender


class _Neighbours:
    def __init__(self, link: str, device: str) -> None:
        longest = ETHERNET_OCTETS + max(each.mtu for each in INTERFACES)
        self.ring, self._sender = PacketRing(device, longest), PacketSender(device)
        self._link, self._silent = link, set[int]()
        self._seen: list[tuple[float, str]] = []
        self._answered = 0

    def obey(self, message: dict[str, Any]) -> dict[str, Any]:
        """Do what is asked, and return the answer."""
        self.look()
        if "begin" in message:
            self._silent = set(message["begin"])
            self._seen.clear()
        for octets in message.get("send", ()):
            self._sender.send(bytes.fromhex(octets))
        return {"seen": self._seen, "answered": self._answered} if "tell" in message else {}

    def look(self) -> None:
        """Note what has come, and answer where somebody does."""
        while (burst := self.ring.burst()) is not None:
            for place, stamp_ns in enumerate(burst.stamps_ns.tolist()):
                frame = burst.frame(place)
                self._seen.append((stamp_ns / 1e9, frame.hex()))
                answer = answer_to(self._link, frame, self._silent)
                if answer is not None:
                    self._answered += 1
                    self._sender.send(answer)
            self.ring.give_back(burst)


def main(words: list[str]) -> None:
    """Be the neighbours until nobody plays any more."""
    neighbours = _Neighbours(*words)
    channel = ControlChannel(socket.socket(fileno=0))
    channel.tell({"event": "ready"})
    while channel.is_open:
        select.select([neighbours.ring.fileno(), channel.fileno()], [], [])
        neighbours.look()
        for message in channel.received():
            channel.answer(neighbours.obey(message))


if __name__ == "__main__":
    main(sys.argv[1:])
