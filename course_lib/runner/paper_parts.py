"""Parts of a router that work on paper: frames and packets are dictionaries that can be read.

A router that is put together from parts looks into no frame itself. So its order of calls can be
tried with these, and a case says in words what came in and what goes out. They forge nothing
that they were not told: ways, neighbours and who keeps silent stand in a dictionary, the world.
"""

__all__ = ["WORLD", "PaperParts"]

from typing import Any

Paper = dict[str, Any]

WORLD: Paper = {
    "own": {
        "west": ("192.0.2.1", "00:00:5e:00:53:01"),
        "east": ("198.51.100.1", "00:00:5e:00:53:02"),
    },
    "ways": {
        "192.0.2.7": ("west", None),
        "198.51.100.9": ("east", None),
        "203.0.113.5": ("east", "198.51.100.9"),
    },
    "known": {"west 192.0.2.7": "00:00:5e:00:53:a7"},
}
PATIENCE_S = 3


class PaperParts:
    """The functions of exercise 12.1, for one router in a world on paper."""

    def __init__(self, world: Paper) -> None:
        self._own, self._ways = world["own"], world["ways"]
        self._known = dict(world["known"])
        self._waiting: dict[tuple[str, str], list[tuple[float, Paper]]] = {}

    def open_frame(self, frame: Paper) -> tuple[str, str, Any]:
        """Return for whom a frame is, what kind of thing it holds, and that."""
        return frame["to"], frame["kind"], frame["holds"]

    def close_frame(self, interface: str, hardware_address: str, packet: Paper) -> Paper:
        """Return the frame for a neighbour."""
        return self._frame(interface, hardware_address, "packet", packet)

    def is_sound(self, packet: Paper) -> bool:
        """Tell whether the header passes all checks."""
        return packet["sound"] is True

    def ends(self, packet: Paper) -> tuple[str, str]:
        """Return source and destination."""
        return packet["source"], packet["destination"]

    def look_up(self, address: str) -> tuple[str, str | None] | None:
        """Return the way to an address: an interface and perhaps a next hop."""
        way = self._ways.get(address)
        return way and (way[0], way[1])

    def lower(self, packet: Paper) -> Paper:
        """Return the packet one hop older; raise `ValueError` if it may go no further."""
        if packet["time to live"] <= 1:
            raise ValueError("a packet with time to live 0 goes nowhere")
        return packet | {"time to live": packet["time to live"] - 1}

    def answer(self, packet: Paper) -> Paper | None:
        """Return what the router says to a packet for itself."""
        if packet["says"] != "echo":
            return None
        source, destination = self.ends(packet)
        return self._said(destination, source, "echo reply")

    def error(self, packet: Paper, reason: str, address: str) -> Paper | None:
        """Return the message to the sender of a packet."""
        if packet["says"] == "error":
            return None
        return self._said(address, packet["source"], "error") | {"why": reason, "about": packet}

    def find(self, now_s: float, interface: str, address: str) -> str | None:
        """Return the hardware address of a neighbour."""
        return self._known.get(f"{interface} {address}")

    def wait(self, now_s: float, interface: str, address: str, packet: Paper) -> list[Paper]:
        """Keep a packet; return the questions."""
        row = self._waiting.setdefault((interface, address), [])
        row.append((now_s, packet))
        return [self._question(interface, address)] if len(row) == 1 else []

    def hear(
        self, now_s: float, interface: str, message: Paper
    ) -> tuple[list[Paper], list[tuple[str, Paper]]]:
        """Learn from a message; return the answers, and the packets that may go."""
        address, hardware_address = message["from"], message["hardware address"]
        self._known[f"{interface} {address}"] = hardware_address
        ready = self._waiting.pop((interface, address), [])
        own_address, own_hardware_address = self._own[interface]
        answers = []
        if message["asks for"] == own_address:
            told = {"from": own_address, "hardware address": own_hardware_address}
            holds = told | {"asks for": None}
            answers.append(self._frame(interface, hardware_address, "message", holds))
        return answers, [(address, packet) for _, packet in ready]

    def give_up(self, now_s: float) -> tuple[list[tuple[str, Paper]], list[Paper]]:
        """Return questions to send once more, and the packets that waited in vain."""
        questions, lost = [], []
        for (interface, address), row in list(self._waiting.items()):
            if now_s - row[0][0] >= PATIENCE_S:
                del self._waiting[interface, address]
                lost += [packet for _, packet in row]
            else:
                questions.append((interface, self._question(interface, address)))
        return questions, lost

    def _question(self, interface: str, address: str) -> Paper:
        own_address, hardware_address = self._own[interface]
        holds = {"from": own_address, "hardware address": hardware_address, "asks for": address}
        return self._frame(interface, "ff:ff:ff:ff:ff:ff", "message", holds)

    def _frame(self, interface: str, to: str, kind: str, holds: Paper) -> Paper:
        return {"to": to, "from": self._own[interface][1], "kind": kind, "holds": holds}

    def _said(self, source: str, destination: str, what: str) -> Paper:
        ends = {"source": source, "destination": destination}
        return ends | {"time to live": 64, "sound": True, "says": what}
