"""What runs in the places of a trial: who repeats frames, who listens, and who calls.

    python -m course_lib.live.private_network.trial_connection repeat|listen|call ADDRESS

Each prints lines of JSON, and ends with its input.
"""

__all__: list[str] = []

import json
import select
import socket
import sys

PORT, OCTETS, PATIENCE_S = 4000, 100_000, 20.0
ETH_P_ALL, PACKET_OUTGOING, MOST_OCTETS = 0x0003, 4, 1 << 16


def repeat() -> None:
    """Carry frames over between two interfaces; on a line of input, say how large they were."""
    names = [name for _, name in socket.if_nameindex() if name != "lo"]
    one, other = (socket.socket(socket.AF_PACKET, socket.SOCK_RAW) for _ in names)
    for opened, name in zip((one, other), names, strict=True):
        opened.bind((name, ETH_P_ALL))
    largest, across = 0, {one.fileno(): (one, other), other.fileno(): (other, one)}
    say({"ready": True})
    while True:
        ready, _, _ = select.select([0, *across], [], [])
        for descriptor in ready:
            if descriptor not in across:
                say({"largest_octets": largest})
                return
            source, target = across[descriptor]
            frame, address = source.recvfrom(MOST_OCTETS)
            if address[2] != PACKET_OUTGOING:
                largest = max(largest, len(frame))
                target.send(frame)


def listen() -> None:
    """Send back what one caller sends."""
    with socket.create_server(("", PORT)) as server:
        say({"ready": True})
        called, _ = server.accept()
        with called:
            while octets := called.recv(MOST_OCTETS):
                called.sendall(octets)


def call(address: str) -> None:
    """Send octets, and say whether the same came back."""
    sent, back = bytes(range(256)) * (OCTETS // 256), b""
    with socket.create_connection((address, PORT), PATIENCE_S) as made:
        made.sendall(sent)
        made.shutdown(socket.SHUT_WR)
        while octets := made.recv(MOST_OCTETS):
            back += octets
    say({"came_back": back == sent})


def say(line: dict[str, object]) -> None:
    """Print a line of JSON."""
    print(json.dumps(line), flush=True)


if __name__ == "__main__":
    match sys.argv[1:]:
        case ["repeat"]:
            repeat()
        case ["listen"]:
            listen()
        case ["call", address]:
            call(address)
