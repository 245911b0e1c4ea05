"""A UDP socket for one link: it never waits, and what it sends is never cut into fragments.

It belongs to the network in which it was opened, whoever uses it later. So a router that is shut
off in a private network can be handed such a socket, and has with it one way out, and no other.

With "don't fragment" a datagram that is too long for the way is refused by the kernel or dropped by
a router, as the path MTU discovery of RFC 1191 wants it. The frame is lost then, and is counted.
"""

__all__ = ["open_udp_socket"]

import socket
import sys

BUFFER_OCTETS = 1 << 20  # for what comes while a router computes; the kernel may give less

# Options that Python's socket module has no names for: linux/in.h and linux/in6.h; netinet/in.h and
# netinet6/in6.h of macOS; ws2ipdef.h of Windows. Those of the last two are from memory.
_DONT_FRAGMENT = {
    ("linux", 4): (socket.IPPROTO_IP, 10, 2),  # IP_MTU_DISCOVER, IP_PMTUDISC_DO
    ("linux", 6): (socket.IPPROTO_IPV6, 23, 2),
    ("darwin", 4): (socket.IPPROTO_IP, 28, 1),  # IP_DONTFRAG
    ("darwin", 6): (socket.IPPROTO_IPV6, 62, 1),
    ("win32", 4): (socket.IPPROTO_IP, 14, 1),  # IP_DONTFRAGMENT
    ("win32", 6): (socket.IPPROTO_IPV6, 14, 1),
}


def open_udp_socket(port: int = 0, address: str = "0.0.0.0") -> socket.socket:
    """Open a socket at a port; 0 takes any that is free, and `getsockname` tells which.

    Raises `OSError` if the port is taken, or the address is not one of this machine.
    """
    version = 6 if ":" in address else 4
    opened = socket.socket(socket.AF_INET6 if version == 6 else socket.AF_INET, socket.SOCK_DGRAM)
    try:
        opened.setblocking(False)
        opened.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, BUFFER_OCTETS)
        if option := _DONT_FRAGMENT.get((sys.platform, version)):
            opened.setsockopt(*option)
        opened.bind((address, port))
    except OSError:
        opened.close()
        raise
    return opened
