"""A simulated network whose time goes on as somebody says, bit by bit, and which forgets.

`Network` writes down all that happens. Here that is read after each bit of time, handed out once,
and thrown away, so that a network can run for hours.
"""

__all__ = ["PacedNetwork"]

from collections import deque

from course_lib.network.records import MISTAKES, Record, What
from course_lib.network.simulation import Network
from course_lib.network.wires import End
from course_lib.steering.applying import apply_change
from course_lib.steering.changes import Change
from course_lib.steering.reading import MOST_COMPLAINTS, read_state
from course_lib.steering.states import RouterState
from course_lib.steering.steered_wire import Octets, SteeredWire


class PacedNetwork:
    """A network, and the router at one place in it that is steered.

    >>> from course_lib.ferry.network import ferry_network
    >>> paced = PacedNetwork(ferry_network(), "North Pier")
    >>> happened = paced.go_on(0.5)
    >>> paced.state().now_s
    0.5
    """

    def __init__(self, network: Network, place: str) -> None:
        self._network, self._place = network, place
        self._octets = Octets()
        self._complaints: deque[str] = deque(maxlen=MOST_COMPLAINTS)
        self._interfaces = tuple(
            network.plan.interface(end)
            for wire in network.wires.values()
            for end in wire.ends
            if end.place == place
        )
        self._lines = {
            each.name: SteeredWire(network, End(place, each.name), self._octets)
            for each in self._interfaces
        }

    def go_on(self, for_s: float) -> list[Record]:
        """Let so much time pass; return what happened."""
        self._network.run_until(self._network.now_s + for_s)
        return self._read_records()

    def state(self) -> RouterState:
        """Return the state of the router."""
        return read_state(
            self._network.routers[self._place],
            self._lines,
            self._network.now_s,
            name=self._place,
            interfaces=self._interfaces,
            complaints=self._complaints,
        )

    def change(self, change: Change) -> None:
        """Make a change; raises `SteeringError` for one that can't be made."""
        apply_change(self._network.routers[self._place], self._lines, change)
        self._read_records()  # of a cut

    def _read_records(self) -> list[Record]:
        network, place = self._network, self._place
        records, network.records = network.records, []
        for record in records:
            if record.what is What.DELIVERED:
                if record.place == place:
                    self._octets.received[record.interface] += len(record.frame)
                else:
                    self._add_sent(End(record.place, record.interface), len(record.frame))
            elif record.place == place and record.what in MISTAKES:
                self._complaints.append(record.text)
        return records

    def _add_sent(self, far_end: End, octets: int) -> None:
        """Count a frame at its far end as sent by our router, if it came from there."""
        back = self._network.direction(far_end)
        if back is not None and back.target.place == self._place:
            self._octets.sent[back.target.interface] += octets
