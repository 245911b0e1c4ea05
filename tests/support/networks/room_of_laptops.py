"""A whole room on one machine: laptops with a network namespace, an address and a process each.

Between them stands a kernel that forwards, as the network of a building does. It is a namespace
too: nothing of it reaches the machine's own networks. The room's server runs beside it, in a
namespace of its own. All ends with the `with` block.
"""

import json
import sys
import threading
from pathlib import Path

from course_lib.live.private_network.live_process import LiveProcess
from course_lib.live.private_network.supervised import Supervised
from course_lib.prefixes.text import format_address, parse_address

HERE = Path(__file__).parent
BUILDING, SERVER = "building", "server"
FIRST = parse_address("192.0.2.0")  # RFC 5737; a link of two for each machine (RFC 3021)
MTU = 1500


class Machine:
    """A program in a namespace of its own; `said` is the latest line of each kind."""

    def __init__(self, supervised, place, program, order, descriptors=()):
        words = [str(HERE / program), json.dumps(order)]
        self.process = LiveProcess(supervised, place, words, lines_on_output=True,
                                   descriptors=descriptors)  # fmt: skip
        self.said, self.lines = {}, []
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def do(self, what, **more):
        self.process.send({"do": what} | more)

    def _read(self):
        for line in self.process.lines():
            self.lines.append(line)
            self.said |= line


class RoomOfLaptops:
    """The building, and the machines that were started in it."""

    def __enter__(self):
        self._supervised, self._machines, self._count = Supervised(lasts_s=1800), [], 0
        self._order("add_place", name=BUILDING, settings={"net.ipv4.ip_forward": "1"})
        return self

    def __exit__(self, *_):
        self._supervised.close()
        for machine in self._machines:
            machine.process.stop()

    def start(self, name, program, order, rate=None):
        """Start a program at a new place, and return the machine. rate: see `add_place`."""
        self.add_place(name, rate=rate)
        return self.start_at(name, program, order)

    def add_place(self, name, mtu=MTU, rate=None):
        """Make a place with a way to all others, at a rate as in tc(8); return its address."""
        number, self._count = self._count, self._count + 1
        near, far = FIRST + 2 * number, FIRST + 2 * number + 1
        self._order("add_place", name=name, settings={})
        ends = [
            {"place": BUILDING, "device": (f"p{number}", f"00:00:5e:00:53:{2 * number:02x}", mtu),
             "address": (format_address(near), 31, None)},
            {"place": name, "device": ("wired", f"00:00:5e:00:53:{2 * number + 1:02x}", mtu),
             "address": (format_address(far), 31, format_address(near))},
        ]  # fmt: skip
        self._order("add_link", ends=ends)
        for end in ends if rate else ():
            order = {"device": end["device"][0], "rate": rate}
            slow = self.start_at(end["place"], "slow_line.py", order)
            assert slow.process.wait() == 0, slow.process.how_it_ended(1)
        return format_address(far)

    def start_at(self, name, program, order, descriptors=()):
        """Start a program at a place that is there. descriptors: what it gets from 3 on."""
        machine = Machine(self._supervised, name, program, order, descriptors)
        self._machines.append(machine)
        return machine

    def _order(self, what, **arguments):
        assert sys.platform == "linux"
        return self._supervised.order(what, **arguments)
