"""One laptop of a room, as a program in a network of its own: it joins, and tells how it stands.

    laptop.py '{"code": ..., "at": ..., "student": ..., "source": ...}'

Descriptor 0 takes lines: {"do": "sleep"}, {"do": "wake"}, {"do": "echo", "to": ...}. What it says
are lines on its output: its standing four times a second.
"""

import json
import os
import select
import signal
import sys
import time

from course_lib.joining.member import Member
from course_lib.joining.piers.live_pier import LivePier
from course_lib.links import room_secret
from course_lib.live.carrying.recipes import SourceRecipe
from course_lib.prefixes.text import parse_address

EVERY_S = 0.25


class Laptop:
    """A member with a live pier, and a lid."""

    def __init__(self, order):
        source = order.get("source")
        recipe = SourceRecipe(source, "make_mine") if source else None
        self.pier = LivePier(room_secret(order["code"]), recipe)
        self.member = Member(order["at"], room_secret(order["code"]), order["student"], self.pier)
        self.begun_s = time.monotonic()
        self.here_s = None

    def obey(self, line):
        match line["do"]:
            case "sleep":  # all that runs at this pier stands still, and so do its reports
                os.killpg(self._group(), signal.SIGSTOP)
            case "wake":
                os.killpg(self._group(), signal.SIGCONT)
            case "echo":
                rows = self.pier._running.measure(
                    "host", "echo", destination=parse_address(line["to"]), count=line["count"],
                    interval_s=0.2, wait_s=line["wait_s"],
                )  # fmt: skip
                say({"echoes": sum(row["what"] == "echo reply" for row in rows)})

    def told(self):
        standing = self.member.standing
        if self.here_s is None and standing.placed is not None:
            self.here_s = time.monotonic() - self.begun_s
        report = standing.report
        return {
            "words": standing.words,
            "pier": standing.placed and standing.placed.pier,
            "address": standing.placed and standing.placed.host.address,
            "took_s": self.here_s,
            "routes": report and len(report.routes),
            "up": report and sum(line.is_up for line in report.lines),
            "forwarded": report and report.forwarded,
            "is_over": standing.is_over,
        }

    def _group(self):
        return os.getpgid(self.pier._running._supervised.process.pid)


def say(line):
    print(json.dumps(line), flush=True)


def main():
    laptop = Laptop(json.loads(sys.argv[1]))
    laptop.member.begin()
    with os.fdopen(0, "rb", buffering=0, closefd=False) as orders:
        while True:
            if select.select([orders], [], [], EVERY_S)[0]:
                line = orders.readline()
                if not line:
                    break
                laptop.obey(json.loads(line))
            say(laptop.told())
    laptop.member.close()


if __name__ == "__main__":
    main()
