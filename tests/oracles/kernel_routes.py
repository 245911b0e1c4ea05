"""Ask this machine's kernel which route it would take, inside a network namespace.

Run as a program, in a fresh namespace (`unshare --net python kernel_routes.py`). It reads one
order per line from standard input and answers each with a line:

    change FILE             apply a file of `ip` commands (the format of `ip -batch`) -> done
    ask IN OUT SECONDS      look up the addresses in IN, as long as the time allows -> done COUNT
    explain ADDRESS         the prefix that `ip route get` prints -> done PREFIX

IN holds 32-bit addresses. OUT gets a 64-bit number for each: the network times 64 plus the length
of the matching prefix, or -1 if there is no route. Both in the machine's own byte order.

The questions are netlink messages of type RTM_GETROUTE with the flag RTM_F_FIB_MATCH, which makes
the kernel tell the matching entry itself (rtnetlink(7); linux/rtnetlink.h). Only standard library.
"""

import array
import errno
import json
import socket
import struct
import subprocess
import sys
import time
from pathlib import Path

NLM_F_REQUEST, NLMSG_ERROR = 1, 2
RTM_NEWROUTE, RTM_GETROUTE, RTM_F_FIB_MATCH = 24, 26, 0x2000
RTA_DST = 1
NO_ROUTE = -1

# nlmsghdr (length, type, flags, sequence, port), rtmsg, then one attribute with the address.
HEADER = struct.Struct("=IHHII")
ROUTE = struct.Struct("=BBBBBBBBI")
ATTRIBUTE = struct.Struct("=HH")
QUESTION = struct.Struct("=IHHII BBBBBBBBI HH 4s".replace(" ", ""))
AT_A_TIME = 64  # questions per message; their answers must fit into the socket's buffer


def question(address, sequence):
    dst = address.to_bytes(4, "big")
    header = (QUESTION.size, RTM_GETROUTE, NLM_F_REQUEST, sequence, 0)
    route = (socket.AF_INET, 32, 0, 0, 0, 0, 0, 0, RTM_F_FIB_MATCH)
    return QUESTION.pack(*header, *route, 8, RTA_DST, dst)


def answer(message):
    """Return the sequence number and the matching prefix of one netlink message."""
    _, kind, _, sequence, _ = HEADER.unpack_from(message)
    if kind == NLMSG_ERROR:
        (code,) = struct.unpack_from("=i", message, HEADER.size)
        if code != -errno.ENETUNREACH:
            raise OSError(-code, f"question {sequence}: {errno.errorcode.get(-code, code)}")
        return sequence, NO_ROUTE
    if kind != RTM_NEWROUTE:
        raise ValueError(f"question {sequence}: unexpected message of type {kind}")
    length = message[HEADER.size + 1]
    network = 0  # a default route comes without a destination attribute
    place = HEADER.size + ROUTE.size
    while place < len(message):
        size, name = ATTRIBUTE.unpack_from(message, place)
        if name == RTA_DST:
            network = int.from_bytes(message[place + 4 : place + 8], "big")
        place += (size + 3) & ~3
    return sequence, network << 6 | length


def ask(netlink, addresses, seconds):
    """Return an answer for as many of the addresses, from the first on, as time allows."""
    answers = array.array("q")
    stop = time.monotonic() + seconds
    while len(answers) < len(addresses) and time.monotonic() < stop:
        first = len(answers)
        part = addresses[first : first + AT_A_TIME]
        netlink.send(b"".join(question(a, first + i) for i, a in enumerate(part)))
        for expected in range(first, first + len(part)):
            sequence, prefix = answer(netlink.recv(1 << 16))
            if sequence != expected:
                raise ValueError(f"answer to question {sequence} where {expected} was due")
            answers.append(prefix)
    return answers


def obey(netlink, order, *words):
    if order == "change":
        subprocess.run(["ip", "-batch", words[0]], check=True, capture_output=True, timeout=600)
        return ""
    if order == "ask":
        addresses = array.array("I", Path(words[0]).read_bytes())
        answers = ask(netlink, addresses, float(words[2]))
        Path(words[1]).write_bytes(answers.tobytes())
        return len(answers)
    if order == "explain":
        command = ["ip", "-json", "route", "get", words[0], "fibmatch"]
        done = subprocess.run(command, check=True, capture_output=True, timeout=600)
        return json.loads(done.stdout)[0]["dst"]
    raise ValueError(f"no such order: {order}")


def main():
    subprocess.run(["ip", "link", "set", "lo", "up"], check=True, timeout=600)
    with socket.socket(socket.AF_NETLINK, socket.SOCK_RAW, socket.NETLINK_ROUTE) as netlink:
        netlink.settimeout(10)
        print("ready", flush=True)
        for line in sys.stdin:
            print("done", obey(netlink, *line.split()), flush=True)


if __name__ == "__main__":
    main()
