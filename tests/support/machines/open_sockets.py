"""Which sockets this process holds open."""

import contextlib
import gc
import socket


def sockets_at(port):
    """Return the sockets of this process that are open, at either end of a line to this port."""
    found = []
    for one in gc.get_objects():
        if issubclass(type(one), socket.socket) and one.fileno() >= 0:  # and no stand-in for one
            ends = []
            with contextlib.suppress(OSError):  # nobody is at the other end
                ends.append(one.getsockname())
                ends.append(one.getpeername())
            if any(port in end[1:2] for end in ends if type(end) is tuple):
                found.append(one)
    return found
