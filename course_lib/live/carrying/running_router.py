"""A router that runs, and what it does when it is told something.

All that calls a router's own code goes through the same limit as its packets do. So a change that
brings in an endless loop costs that router, and not whoever sent the change.
"""

__all__ = ["RunningRouter", "open_router"]

from collections.abc import Mapping
from typing import Any

from course_lib.ip.packets import Interface, OutgoingFrame
from course_lib.links.terms import LinkTerms, TermsError
from course_lib.live.carrying.careful_router import CarefulRouter
from course_lib.live.carrying.control_channel import ControlChannel
from course_lib.live.carrying.followed_packet import Follower
from course_lib.live.carrying.line import Line
from course_lib.live.carrying.line_settings import LineSettings
from course_lib.live.carrying.own_source import SourceError, load_library
from course_lib.live.carrying.packet_loop import PacketLoop
from course_lib.live.carrying.ports import Port
from course_lib.live.carrying.recipes import SourceRecipe, make_router, make_rules, recipe_of
from course_lib.live.carrying.steered_port import SteeredPort, kernel_counters
from course_lib.live.outer_links.link_card import LinkPort, link_card
from course_lib.live.packet_sockets.packet_ring import PacketRing
from course_lib.live.packet_sockets.packet_sender import PacketSender
from course_lib.prefixes.prefix import parse_prefix
from course_lib.prefixes.text import parse_address
from course_lib.runner.time_limit import CallLimit, TookTooLongError
from course_lib.steering.applying import apply_change
from course_lib.steering.changes import Change, SteeringError, SwapStage
from course_lib.steering.plain_data import as_plain, change_of
from course_lib.steering.reading import read_state

_ETHERNET_OCTETS = 14
_ARP = b"\x08\x06"
_ENDS = slice(_ETHERNET_OCTETS + 12, _ETHERNET_OCTETS + 20)  # RFC 791: source and destination


class RunningRouter:
    """A router in its loop. `obey` does what a message says."""

    def __init__(self, name: str, loop: PacketLoop, channel: ControlChannel, limit: CallLimit):
        self.name, self.loop = name, loop
        self._channel, self._limit = channel, limit
        self._lines = {name: SteeredPort(port) for name, port in loop.ports.items()}
        self.links = {
            name: port.link for name, port in loop.ports.items() if isinstance(port, LinkPort)
        }
        self._follower: Follower | None = None
        self._asked: dict[str, Any] = {}  # the message that asked for it

    def obey(self, message: Mapping[str, Any]) -> bool:
        """Do what is asked and answer; return True if that was to stop."""
        answer: dict[str, Any] = {"number": message.get("number")}
        command = message.get("command")
        try:
            if command == "state":
                answer["state"] = self._limit.call(self._state)
            elif command == "change":
                change = change_of(message.get("change"))
                if isinstance(change, SwapStage):
                    load_library(change.source)
                self._limit.call(self._change, change)
                answer["done"] = True
            elif command == "make anew":
                self._make_anew(message.get("recipe") or {})
                answer["done"] = True
            elif command == "follow the next packet":
                return self._begin_to_follow(dict(message))
            elif command == "end following":
                self._end_waiting()
                answer["done"] = True
            elif command == "links":
                answer["links"] = {
                    name: link.report().to_plain() for name, link in self.links.items()
                }
            elif command == "change terms":
                self._change_terms(message)
                answer["done"] = True
            elif command == "stop":
                answer["done"] = True
            else:
                answer["problem"] = message.get("problem") or f"there is no command {command!r}"
        except (SourceError, SteeringError, TermsError, TookTooLongError) as problem:
            answer["problem"] = str(problem)
        self._channel.answer(answer)
        return command == "stop"

    def look_after_followed(self) -> None:
        """Answer for a packet that was to be followed, when all that came of it is gone."""
        follower = self._follower
        if follower is None or not follower.has_begun:
            return
        lines = [port.line_out for port in self.loop.ports.values()]
        if follower.waits_for_more and any(line.waiting or line.under_way for line in lines):
            return
        followed = follower.followed()
        answer: dict[str, Any] = {"number": self._asked.get("number")}
        if followed is None:
            answer["problem"] = "the router never came back from receiving this packet"
        else:
            answer["followed"] = followed.as_data()
        self._channel.answer(answer)
        self._end_following()

    def _end_waiting(self) -> None:
        """Follow no packet any more, if the one that was waited for has not come."""
        if self._follower is not None and not self._follower.has_begun:
            why = "the packet that was to be followed did not come"
            self._channel.answer({"number": self._asked.get("number"), "problem": why})
            self._end_following()

    def _end_following(self) -> None:
        self._follower, self.loop.sent = None, None
        self.loop.one_by_one, self.loop.receive = False, self.loop.router.receive

    def _state(self) -> dict[str, Any]:
        complaints = list(self.loop.router.complaints)
        for name, port in self.loop.ports.items():
            lines = (("in front of", port.line_in), ("behind", port.line_out))
            complaints += [
                f"line {where} {name!r}: {text}"
                for where, line in lines
                for text in line.complaints
            ]
        state = read_state(
            self.loop.router.router,
            self._lines,
            self.loop.now_s(),
            name=self.name,
            interfaces=[port.interface for port in self.loop.ports.values()],
            complaints=complaints,
        )
        kernel = kernel_counters(self.loop.ports.values())
        return as_plain(state._replace(counters=dict(state.counters) | kernel))

    def _change(self, change: Change) -> None:
        apply_change(self.loop.router.router, self._lines, change)
        self.loop.ask_again()

    def _change_terms(self, message: Mapping[str, Any]) -> None:
        link = self.links.get(str(message.get("interface")))
        if link is None:
            raise SteeringError(f"interface {message.get('interface')!r} has no link to outside")
        link.change_terms(LinkTerms.from_plain(message.get("terms")))

    def _make_anew(self, recipe: Mapping[str, Any]) -> None:
        """Put a new router between the same ports."""
        interfaces = {name: port.interface for name, port in self.loop.ports.items()}
        self.loop = PacketLoop(
            _careful(self.name, recipe, interfaces, self._channel, self._limit), self.loop.ports
        )
        self._follower = None

    def _begin_to_follow(self, message: dict[str, Any]) -> bool:
        if self._follower is not None:
            busy = {
                "number": message.get("number"),
                "problem": "a packet is being followed already",
            }
            self._channel.answer(busy)
            return False
        self._follower = Follower(self.name, self.loop.router.router)
        self._asked = message
        self.loop.one_by_one, self.loop.receive = True, self._receive
        self.loop.sent = self._went
        return False

    def _receive(self, now_s: float, interface: str, frame: bytes) -> list[OutgoingFrame]:
        """Stand in front of the router until the packet comes that is to be followed."""
        follower, wanted = self._follower, self._asked.get("interface")
        ends = self._asked.get("between")
        is_it = wanted in (None, interface) and frame[12:14] != _ARP
        is_it = is_it and ends in (None, frame[_ENDS].hex())
        if follower is None or follower.has_begun or not is_it:
            return self.loop.router.receive(now_s, interface, frame)
        follower.came(self._time_ns(now_s), interface, frame)
        return self.loop.router.receive(now_s, interface, frame, by=follower)

    def _went(self, now_s: float, interface: str, frame: bytes) -> None:
        if self._follower is not None:
            self._follower.went(self._time_ns(now_s), interface, frame)

    def _time_ns(self, now_s: float) -> int:
        return self.loop.began_ns + round(now_s * 1e9)


def open_router(
    order: Mapping[str, Any], channel: ControlChannel, limit: CallLimit
) -> RunningRouter:
    """Make the router, open its interfaces, and put lines to them.

    Raises `SourceError` for source text of no use, `ValueError` for an order that cannot be, and
    `OSError` for an interface that is not there.
    """
    name = str(order["name"])
    interfaces = {each["name"]: _interface(each) for each in order["interfaces"]}
    try:
        router = _careful(name, order["recipe"], interfaces, channel, limit)
    except TookTooLongError as error:
        raise ValueError(f"the router could not be made: {error}") from error
    ports = {each["name"]: _port(each, interfaces[each["name"]], order)
             for each in order["interfaces"]}  # fmt: skip
    return RunningRouter(name, PacketLoop(router, ports), channel, limit)


def _careful(
    name: str,
    data: Mapping[str, Any],
    interfaces: Mapping[str, Interface],
    channel: ControlChannel,
    limit: CallLimit,
) -> CarefulRouter:
    """Make a router, and stand around it."""
    recipe = recipe_of(data)
    if isinstance(recipe, SourceRecipe):
        load_library(recipe.text)

    def tell(text: str) -> None:
        channel.tell({"event": "complaint", "text": text})

    made = limit.call(make_router, recipe, name, list(interfaces.values()))
    return CarefulRouter(name, made, interfaces, limit, tell)


def _interface(data: Mapping[str, Any]) -> Interface:
    return Interface(
        data["name"],
        bytes.fromhex(data["hardware_address"].replace(":", "")),
        parse_address(data["address"]),
        parse_prefix(data["prefix"]),
        int(data.get("mtu", 1500)),
    )


def _port(data: Mapping[str, Any], interface: Interface, order: Mapping[str, Any]) -> Port:
    out, into = (_line((order.get(way) or {}).get(interface.name)) for way in ("lines", "lines_in"))
    link = (order.get("links") or {}).get(interface.name)
    if link is not None:
        return LinkPort(interface, link_card(link), out, into)
    device = data.get("device", interface.name)
    try:
        ring = PacketRing(device, interface.mtu + _ETHERNET_OCTETS)
        sender = PacketSender(device)
    except OSError as error:
        raise OSError(
            error.errno, f"interface {interface.name!r} (device {device}): {error.strerror}"
        ) from error
    return Port(interface, ring, sender, out, into)


def _line(data: Mapping[str, Any] | None) -> Line:
    settings = LineSettings() if data is None else LineSettings.from_data(data)
    return Line(settings, make_rules(settings))
