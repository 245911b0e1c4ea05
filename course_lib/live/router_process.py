"""The process of one router: `python -m course_lib.live.router_process`.

It runs in the network namespace of its router, and descriptor 0 is a stream socket to whoever
started it. Both sides write lines of JSON. The first line is the order: name, interfaces, recipe,
and the lines of each interface. The answer is `{"event": "ready"}`, or `{"event": "failed"}` with a
text. Then commands come, each with a number that stands in its answer too:

* `state`: what the router knows and counts, as plain data of `course_lib.steering`;
* `change`: a change of `course_lib.steering`, while packets flow;
* `links`: what is to be told of the links to other machines, by interface;
* `change terms`: of such a link, as the room has changed them;
* `make anew`: the router, by a recipe; lines and their books stay;
* `follow the next packet`: it is answered when the packet has left, or is given up;
* `stop`: end. The end of the socket does the same, so nobody is left behind.

Complaints about the router are told as events, each at the moment when it comes up.
"""

__all__ = ["main"]

import ctypes
import gc
import select
import signal
import socket
import sys

from course_lib.live.carrying.control_channel import ControlChannel
from course_lib.live.carrying.endings import wind_up
from course_lib.live.carrying.own_source import SourceError
from course_lib.live.carrying.packet_loop import wait_s
from course_lib.live.carrying.running_router import RunningRouter, open_router
from course_lib.network.simulation import CALL_LIMIT_S
from course_lib.runner.time_limit import CallLimit

_PR_SET_TIMERSLACK = 29  # linux/prctl.h
_SLACK_NS = 1000  # the kernel may wake us so much later; 50,000 is what it takes by itself


def main() -> int:
    """Read the order, and run the router until somebody stops it. Return the exit code."""
    channel = ControlChannel(socket.socket(fileno=0))
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # a notebook's Ctrl-C is not for us
    try:
        order = channel.first_line()
    except EOFError:
        return 0
    with CallLimit(CALL_LIMIT_S) as limit:
        try:
            running = open_router(order, channel, limit)
        except (SourceError, ValueError, OSError) as error:
            channel.tell({"event": "failed", "text": f"{error}"})
            channel.flush(to_the_end=True)
            return 1
        ctypes.CDLL(None).prctl(_PR_SET_TIMERSLACK, _SLACK_NS, 0, 0, 0)
        gc.collect()
        gc.freeze()  # what is there stays; looking through it again and again would take time
        channel.tell({"event": "ready"})
        run(running, channel)
    channel.flush(to_the_end=True)
    return 0


def run(running: RunningRouter, channel: ControlChannel) -> None:
    """Turn the loop until the router is stopped or nobody steers it any more."""
    rings = [port.ring.fileno() for port in running.loop.ports.values()]
    control, links = channel.fileno(), list(running.links.values())
    while True:
        wind_up()
        loop = running.loop
        is_more = loop.turn()
        running.look_after_followed()
        for link in links:
            link.tick()
        timeout_s = 0.0 if is_more else wait_s(loop.next_s(), loop.now_s())
        waits = [link.wait_s() for link in links]
        timeout_s = min(waits if timeout_s is None else [timeout_s, *waits], default=None)
        writers = [control] if channel.has_more_to_send else []
        readable, writable, _ = select.select([*rings, control], writers, [], timeout_s)
        if writable:
            channel.flush()
        if control in readable:
            for message in channel.received():
                if running.obey(message):
                    return
            if not channel.is_open:
                return


if __name__ == "__main__":
    sys.exit(main())
