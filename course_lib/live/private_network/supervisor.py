"""The process that makes a private network and lets it go again. Started as a program.

    python -P -m course_lib.live.private_network.supervisor SOCKET PARENT SECONDS

Two processes run this text. The outer one leaves the machine's users, then forks the inner one,
which is the first process of a process namespace, and does nothing more than wait for it. The
inner one makes the networks, and starts all that runs in them. So everything ends at once

* when the parent ends, however that comes: the inner one watches it, and its end of the socket;
* when the outer one ends: the kernel kills the inner one, as that has asked it to;
* when the inner one ends: the kernel kills all that is in the process namespace;
* after so many SECONDS at the latest.

With the last process the networks go, as they have no names and no mounts.

Each order is one message on a socket that keeps messages apart (SOCK_SEQPACKET): JSON, and
descriptors if it needs some. The answer is one message too: {"done": ...}, or {"refused": ...};
one comes without an order, when the inner process is there or could not be made.
"""

__all__: list[str] = []

import fcntl
import json
import os
import select
import signal
import socket
import sys
from typing import Any

from course_lib.live.private_network.links import Address, Device, join, silence_kernel, switch_on
from course_lib.live.private_network.namespaces import (
    StepError,
    die_with_parent,
    enter_network,
    new_network,
    private_users_and_processes,
)

MESSAGE_OCTETS, MOST_DESCRIPTORS = 1 << 17, 20


def main(control: socket.socket, parent: int, lasts_s: int) -> None:
    """Be the outer process."""
    control.set_inheritable(False)
    signal.alarm(lasts_s)  # nobody waits for this signal: it ends us
    watched = [os.pidfd_open(parent), os.pidfd_open(os.getpid())]
    if os.getppid() != parent:
        return  # the parent ended meanwhile, and its number may be somebody else's by now
    try:
        private_users_and_processes()
    except StepError as refused:
        control.send(_refusal(refused))
        return
    inner = os.fork()
    if inner == 0:
        die_with_parent()
        Inner(control).serve(watched)
        os._exit(0)
    control.close()
    os.waitpid(inner, 0)


class Inner:
    """The first process of the process namespace: it has the networks, and starts what runs."""

    def __init__(self, control: socket.socket) -> None:
        self._control = control
        self._networks: dict[str, int] = {}  # descriptors, by the names of places
        self._ended: dict[int, int] = {}  # how processes have ended

    def serve(self, watched: list[int]) -> None:
        """Do what is ordered, until one of the watched processes ends or nobody orders any more."""
        self._control.send(_done(None))
        poll = select.poll()
        for descriptor in (self._control.fileno(), *watched):
            poll.register(descriptor, select.POLLIN)
        while {ready for ready, _ in poll.poll()} == {self._control.fileno()}:
            message, descriptors, _, _ = socket.recv_fds(
                self._control, MESSAGE_OCTETS, MOST_DESCRIPTORS, socket.MSG_CMSG_CLOEXEC
            )
            if not message:
                return
            self._control.send(self._answer(json.loads(message), descriptors))
            for descriptor in descriptors:
                os.close(descriptor)

    def _answer(self, order: dict[str, Any], descriptors: list[int]) -> bytes:
        try:
            done = getattr(self, f"do_{order.pop('do')}")(*descriptors, **order)
        except StepError as refused:
            return _refusal(refused)
        return _done(done)

    def do_add_place(self, name: str, settings: dict[str, str]) -> None:
        """Make the network of a host or a router."""
        self._networks[name] = new_network()
        silence_kernel(settings)

    def do_add_link(self, ends: list[dict[str, Any]]) -> None:
        """Join two places, and take both ends into use."""
        devices = [Device(self._networks[end["place"]], *end["device"]) for end in ends]
        join(*devices)
        for device, end in zip(devices, ends, strict=True):
            address = end["address"]
            switch_on(device, Address(*address) if address else None)

    def do_start(self, *descriptors: int, place: str, arguments: list[str]) -> int:
        """Start Python with these arguments in a place; return the number of the process.

        descriptors: what it gets as descriptors 0, 1 and 2, and so on.
        """
        pid = os.fork()
        if pid == 0:
            try:
                enter_network(self._networks[place])
                # First out of the way, as the place of one may be the number of another.
                high = [fcntl.fcntl(each, fcntl.F_DUPFD_CLOEXEC, 64) for each in descriptors]
                for wanted, descriptor in enumerate(high):
                    os.dup2(descriptor, wanted)
                os.execv(sys.executable, [sys.executable, "-P", *arguments])
            finally:
                os._exit(127)
        return pid

    def do_stop(self, process: int) -> int:
        """Kill a process; return how it ended: its exit status, or a signal's number below 0."""
        if self.do_how_ended(process) is None:
            os.kill(process, signal.SIGKILL)
            while process not in self._ended:
                self._reap(0)
        return self._ended[process]

    def do_how_ended(self, process: int) -> int | None:
        """Return how a process ended, None if it still runs."""
        while process not in self._ended and self._reap(os.WNOHANG):
            pass
        return self._ended.get(process)

    def _reap(self, options: int) -> bool:
        """Take note of one that has ended: a child, or a grandchild that nobody else waits for."""
        pid, status = os.waitpid(-1, options)
        if pid:
            self._ended[pid] = os.waitstatus_to_exitcode(status)
        return pid != 0


def _done(answer: object) -> bytes:
    return json.dumps({"done": answer}).encode()


def _refusal(refused: StepError) -> bytes:
    return json.dumps({"refused": refused.as_data()}).encode()


if __name__ == "__main__":
    main(socket.socket(fileno=int(sys.argv[1])), int(sys.argv[2]), int(sys.argv[3]))
