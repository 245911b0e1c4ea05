"""A network at a pier that only remembers what it was told: for tests of the talk with the room."""

import threading

from course_lib.joining.messages import LineReport, Report, RouteTold


class PierStandIn:
    """A `RunningPier` without a network. lines: as told last, by number; `None` keeps addresses."""

    where = "simulated"

    def __init__(self, first_port=5000):
        self.placed, self.lines, self.wishes, self.is_closed = None, {}, [], threading.Event()
        self._first_port = first_port

    def open(self, placed, tell):
        assert self.placed is None, "a pier is opened once"
        self.placed, self.tell = placed, tell
        return {line.number: self._first_port + line.number for line in placed.lines}

    def set_line(self, line):
        before = self.lines.get(line.number)
        keeps = line.addresses is None and before is not None
        self.lines[line.number] = line if not keeps else type(line)(
            line.number, before.addresses, line.is_pulled
        )  # fmt: skip

    def report(self):
        up = {number for number, line in self.lines.items() if line.addresses}
        lines = tuple(LineReport(each.number, each.number in up, 1, 100, 1, 100, 0)
                      for each in self.placed.lines)  # fmt: skip
        own = RouteTold(self.placed.host.prefix, None, self.placed.router.name)
        return Report(True, 0, 0, lines, (own,), ())

    def do(self, wish):
        self.wishes.append(wish)

    def close(self):
        self.is_closed.set()
