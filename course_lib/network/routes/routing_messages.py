"""Routing protocols on a network: their messages on its wires, their routes in its routers.

    routing = RoutingMessages(network)
    for name, router in network.routers.items():
        links = dict.fromkeys(routing.links_of(name), 1)
        own = dict.fromkeys(routing.own_prefixes(name), 1)
        routing.attach(name, DistanceVector(name, links, own), router)
    routing.start()
    network.run_until(60)

* A link of a protocol has the name of the wire, and its neighbour the name of the place there.
* Messages are Python values, as everywhere in `course_lib.routing`, and not octets. So they travel
  *beside* the frames: each takes as long as a frame of 100 octets and the delay of the wire, is
  lost with its loss rate or with a cut, but neither waits for frames nor makes them wait. Their
  chances come from a generator of their own, so the frames fare the same with and without routing.
* Whoever changes a message after sending it changes it under way as well. The protocols of this
  course send immutable values.
* When a wire is cut or mended, the protocols at both ends are told at once.
* What a protocol knows is mirrored into the router (`course_lib.routing.mirror`) a moment after it
  has heard something, so that a burst of news is worked out once. RFC 8405 tells how real routers
  do that; the 50 ms here are our choice. See `route_installer` for what is mirrored.

Real routers: messages in packets of their own with the precedence "internetwork control" (RFC 791,
section 3.1), and several equally good next hops used at the same time.
"""

__all__ = ["RoutingMessages"]

import math
import random
from functools import partial
from typing import Any

from course_lib.ip.packets import Interface
from course_lib.network.careful_calls import Guard, Reply, checked_time
from course_lib.network.event_clock import Turn
from course_lib.network.records import Record, What
from course_lib.network.routes.installer import Gateway, RouteInstaller, RouteTaker
from course_lib.network.simulation import Network
from course_lib.network.wires import End, NetworkError, Wire
from course_lib.prefixes.prefix import Prefix
from course_lib.routing.protocol import NextHop, Outgoing, RoutingProtocol

MESSAGE_OCTETS = 100  # what a message takes on the wire, whatever is in it
INSTALL_AFTER_S = 0.05
INSTALL_ORDER = 1_000_000_000  # of all that is due at one time, installing comes last


class _Speaker:
    """A routing protocol at its place. `links` gives, by wire, our end and the other one."""

    def __init__(
        self, order: int, guard: Guard, links: dict[str, tuple[End, End]], installer: RouteInstaller
    ) -> None:
        self.order, self.guard, self.links, self.installer = order, guard, links, installer
        self.armed_s = math.inf  # for when the clock has been asked to call `tick`
        self.will_install = False


class RoutingMessages:
    """All routing protocols of one network."""

    def __init__(self, network: Network, *, install_after_s: float = INSTALL_AFTER_S) -> None:
        """Take a network that is built; wires that are added later are not seen."""
        self._network, self._install_after_s = network, install_after_s
        self._speakers: dict[str, _Speaker] = {}
        self._random = {
            end: random.Random(f"{network.seed} messages {wire.name} {end.place}")
            for wire in network.wires.values()
            for end in wire.ends
        }
        self._cuts = dict.fromkeys(network.wires, 0)
        network.when_a_wire_changes.append(self._wire_changed)

    def links_of(self, place: str) -> dict[str, str]:
        """Return, for each wire that leads to another router, the name of that router."""
        ends = self._wires_of(place).items()
        return {
            link: other.place for link, (_, other) in ends if other.place in self._network.routers
        }

    def own_prefixes(self, place: str) -> list[Prefix]:
        """Return the prefixes of the interfaces of `place` that are wired."""
        return [self._interface(mine).prefix for mine, _ in self._wires_of(place).values()]

    def attach(self, place: str, protocol: RoutingProtocol[Any], router: RouteTaker) -> None:
        """Let a protocol speak at `place` and write into the table of `router`."""
        if place not in self._network.routers:
            raise NetworkError(f"there is no router {place!r} at which a protocol could speak")
        if place in self._speakers:
            raise NetworkError(f"a routing protocol speaks at {place!r} already")
        guard = Guard(place, "routing protocol", protocol, self._network.limit)
        gateways = {
            NextHop(link, other.place): Gateway(mine.interface, self._interface(other).address)
            for link, (mine, other) in self._wires_of(place).items()
            if other.place in self._network.routers
        }
        installer = RouteInstaller(guard, router, gateways, self.own_prefixes(place))
        order = len(self._speakers)
        self._speakers[place] = _Speaker(order, guard, self._wires_of(place), installer)

    def start(self) -> None:
        """Let all protocols begin, as soon as the network runs on."""
        for speaker in self._speakers.values():
            self._soon(speaker, "start")

    def installed(self, place: str) -> dict[Prefix, Gateway]:
        """Return what was mirrored into the router at `place`."""
        return self._speakers[place].installer.installed()

    # --- talking

    def _soon(self, speaker: _Speaker, method: str, *arguments: object) -> None:
        """Make a call as an event of its own, within a run of the network."""
        call = partial(self._call, speaker, method, *arguments)
        self._network.clock.at(self._network.now_s, call)

    def _call(self, speaker: _Speaker, method: str, *arguments: object) -> None:
        """Call a protocol, and see to what it answers."""
        now_s = self._network.now_s

        def about() -> str:
            return f"link {arguments[-1]!r}" if arguments else ""

        reply = speaker.guard.ask(now_s, method, now_s, *arguments, about=about)
        self._after(speaker, reply, method)

    def _after(self, speaker: _Speaker, reply: Reply, method: str) -> None:
        """Send what a protocol answered, and plan when it is called and its routes taken over."""
        for link, message in self._messages(speaker, reply, method):
            self._send(speaker, link, message)
        self._arm(speaker)
        if not speaker.will_install and not speaker.guard.is_stopped:
            speaker.will_install = True
            when_s = self._network.now_s + self._install_after_s
            install = partial(self._install, speaker)
            self._network.clock.at(when_s, install, Turn.TIMER, INSTALL_ORDER + speaker.order)

    def _messages(self, speaker: _Speaker, reply: Reply, method: str) -> list[Outgoing]:
        """Return what can be sent of an answer, and write down what cannot."""
        if reply.mistake is not None:
            self._network.note(reply.mistake)
        if reply.mistake is not None or speaker.guard.is_stopped:
            return []
        if not isinstance(reply.value, list | tuple):
            kind = type(reply.value).__name__
            self._refuse(speaker, f"{method}() gave {kind}, must be a list of Outgoing")
            return []
        good = []
        for entry in reply.value:
            if not isinstance(entry, tuple) or len(entry) != 2 or not isinstance(entry[0], str):
                self._refuse(speaker, f"{method}() gave an entry that is not Outgoing")
            elif entry[0] not in speaker.links:
                known = ", ".join(map(repr, speaker.links))
                self._refuse(speaker, f"{method}(): no wire {entry[0]!r} leads here, only {known}")
            else:
                good.append(Outgoing(*entry))
        return good

    def _send(self, speaker: _Speaker, link: str, message: object) -> None:
        network, wire = self._network, self._network.wires[link]
        mine, other = speaker.links[link]
        self._note(mine, What.MESSAGE_SENT, link, message)
        direction = network.direction(mine)
        is_lost = self._random[mine].random() < wire.loss_rate
        if direction is None or direction.is_cut or is_lost or other.place not in self._speakers:
            self._note(mine, What.MESSAGE_LOST, link, message)
            return
        takes_s = direction.time_to_send_s(MESSAGE_OCTETS) + wire.delay_s
        arrive = partial(self._arrive, mine, other, link, message, self._cuts[link], takes_s)
        network.clock.at(network.now_s + takes_s, arrive, Turn.ARRIVAL)

    def _arrive(
        self, origin: End, target: End, link: str, message: object, cuts: int, took_s: float
    ) -> None:
        if cuts != self._cuts[link]:
            self._note(origin, What.MESSAGE_LOST, link, message)
            return
        self._note(target, What.MESSAGE_DELIVERED, link, message, took_s)
        self._call(self._speakers[target.place], "receive", message, link)

    def _arm(self, speaker: _Speaker) -> None:
        now_s = self._network.now_s
        reply = speaker.guard.ask(now_s, "next_tick_s")
        if reply.mistake is not None:
            self._network.note(reply.mistake)
        if reply.mistake is not None or speaker.guard.is_stopped:
            return
        due_s, problem = checked_time(reply.value)
        if problem is not None:
            self._refuse(speaker, problem)
        if due_s != speaker.armed_s:
            speaker.armed_s = due_s
            tick = partial(self._tick, speaker, due_s)
            self._network.clock.at(due_s, tick, Turn.TIMER, speaker.order)

    def _tick(self, speaker: _Speaker, due_s: float) -> None:
        if due_s == speaker.armed_s:
            speaker.armed_s = math.inf
            self._after(speaker, speaker.guard.ask_tick(self._network.now_s), "tick")

    def _wire_changed(self, name: str, works: bool) -> None:
        self._cuts[name] += not works
        for end in self._network.wires[name].ends:
            if end.place in self._speakers:
                method = "link_up" if works else "link_down"
                self._soon(self._speakers[end.place], method, name)

    def _install(self, speaker: _Speaker) -> None:
        speaker.will_install = False
        for record in speaker.installer.follow(self._network.now_s):
            self._network.note(record)

    # --- looking and writing down

    def _wires_of(self, place: str) -> dict[str, tuple[End, End]]:
        """Return our end and the other one of each wire that ends at `place`."""
        ends = [(wire.name, end) for wire in self._network.wires.values() for end in _both(wire)]
        return {name: (mine, other) for name, (mine, other) in ends if mine.place == place}

    def _interface(self, end: End) -> Interface:
        return self._network.plan.interface(end)

    def _refuse(self, speaker: _Speaker, text: str) -> None:
        self._network.note(speaker.guard.mistake(self._network.now_s, What.REFUSED, text))

    def _note(
        self, end: End, what: What, wire: str, message: object, delay_s: float | None = None
    ) -> None:
        now_s, kind = self._network.now_s, type(message).__name__
        record = Record(now_s, end.place, what, end.interface, wire, delay_s=delay_s, text=kind)
        self._network.note(record)


def _both(wire: Wire) -> list[tuple[End, End]]:
    """Return the two ends as seen from either side."""
    one, other = wire.ends
    return [(one, other), (other, one)]
