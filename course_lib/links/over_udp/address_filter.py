"""Let the kernel drop what strangers send, before Python sees it: on Linux, for IPv4.

A program for the classic packet filter is put to the socket (the kernel's document "Linux Socket
Filtering", networking/filter): it needs no rights, and holds the addresses of the terms. Those do
not change but by the room's word, so nothing is lost by it. `other_machine` looks at what is left,
as it does where there is no such filter; so a hole in this one lets nobody in.

What the kernel drops it counts among the datagrams that did not reach the socket.
"""

__all__ = ["drop_strangers"]

import ctypes
import ipaddress
import socket
import struct
import sys

from course_lib.links.other_machine import FIRST_PORT_OF_USERS
from course_lib.links.terms import LinkTerms

_SO_ATTACH_FILTER = 26  # asm-generic/socket.h
_WORD, _HALF, _IS, _IS_LEAST, _END = 0x20, 0x28, 0x15, 0x35, 0x06  # linux/bpf_common.h
_SOURCE = 0xFFF00000 + 12  # SKF_NET_OFF of linux/filter.h, and RFC 791, section 3.1
_SOURCE_PORT = 0  # the program sees a datagram from its UDP header on: RFC 768
_ALL, _NOTHING = 0xFFFFFFFF, 0
_INSTRUCTION, _PROGRAM = struct.Struct("@HBBI"), struct.Struct("@HP")
Instruction = tuple[int, int, int, int]


def drop_strangers(opened: socket.socket, terms: LinkTerms) -> bool:
    """Take in from the addresses of these terms alone; return False where the kernel can't."""
    if sys.platform != "linux" or opened.family != socket.AF_INET:
        return False
    program = _program(terms)
    octets = b"".join(_INSTRUCTION.pack(*each) for each in program)
    held = ctypes.create_string_buffer(octets, len(octets))
    told = _PROGRAM.pack(len(program), ctypes.addressof(held))
    try:
        opened.setsockopt(socket.SOL_SOCKET, _SO_ATTACH_FILTER, told)
    except OSError:  # a kernel that was made without it, or a sandbox that refuses it
        return False
    return True


def _program(terms: LinkTerms) -> list[Instruction]:
    """Return the program: five instructions for each address, and the end for all others."""
    program = list[Instruction]()
    for host, port in terms.addresses:
        address = ipaddress.ip_address(host)
        if address.version == 4:
            program += _take(int(address), _IS, port)
            if terms.ports_may_change:
                program += _take(int(address), _IS_LEAST, FIRST_PORT_OF_USERS)
    return [*program, (_END, 0, 0, _NOTHING)]


def _take(address: int, compare: int, port: int) -> list[Instruction]:
    return [
        (_WORD, 0, 0, _SOURCE),
        (_IS, 0, 3, address),  # if not, over three
        (_HALF, 0, 0, _SOURCE_PORT),
        (compare, 0, 1, port),
        (_END, 0, 0, _ALL),
    ]
