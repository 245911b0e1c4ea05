"""A network of real kernels, for as long as a block lasts: hosts, links, and our routers between.

    with PrivateNetwork(plan) as network:
        for row in network.measure("Ticket Office", "echo", destination=address, count=3):
            print(row)
        print(network.state("North Pier"))

It is shut off from the machine's own network: no interface, route or rule of the machine is seen
in there or changed, and two such networks never meet. What runs in there has the rights of an
administrator, in there only. Send what you like, as long as it is in there: on other networks,
traffic and capture are for those who own them to allow, and for the law.
"""

__all__ = ["Measurement", "PrivateNetwork"]

import json
import sys
from collections.abc import Iterator
from concurrent.futures import Future
from functools import partial
from typing import Any, Self

from course_lib.ip.packets import Interface
from course_lib.links.over_udp.udp_link import LinkReport
from course_lib.links.terms import LinkTerms, TermsError
from course_lib.live.carrying.followed_packet import FollowedPacket
from course_lib.live.carrying.recipes import Recipe
from course_lib.live.closed_in_the_end import ClosedInTheEnd
from course_lib.live.outer_links.outer_link import OuterAccess, orders_for
from course_lib.live.private_network.live_process import LiveProcess
from course_lib.live.private_network.namespaces import StepError
from course_lib.live.private_network.plan import LiveHost, LivePlan, LiveRouter, device_names
from course_lib.live.private_network.refusals import NoAbilityError, why_not
from course_lib.live.private_network.router_talk import RouterTalk
from course_lib.live.private_network.supervised import LiveNetworkError, Supervised
from course_lib.network.wires import End
from course_lib.prefixes.text import format_address, format_mac
from course_lib.steering.changes import Change, SetLink, SteeringError
from course_lib.steering.plain_data import as_plain, state_of
from course_lib.steering.states import RouterState

MEASURING = "course_lib.live.measuring"


class Measurement(Iterator[dict[str, Any]]):
    """A measurement that runs: its rows as they come. `stop` ends it before its time."""

    def __init__(self, process: LiveProcess) -> None:
        self._process, self._rows = process, process.lines()
        self._is_stopped = False

    def __next__(self) -> dict[str, Any]:
        """Return the next row; raises `LiveNetworkError` if the measurement could not be made."""
        if self._is_stopped:
            raise StopIteration
        for row in self._rows:
            return row
        code = self._process.wait()
        words = self._process.how_it_ended(code)
        self.stop()
        if code != 0:
            raise LiveNetworkError(words)
        raise StopIteration

    def want(self) -> None:
        """Say that it is wanted on, to one that would rest otherwise."""
        self._process.send({})

    def stop(self) -> None:
        """End it; rows that have not been asked for are gone."""
        if not self._is_stopped:
            self._is_stopped = True
            self._process.stop()


class PrivateNetwork(ClosedInTheEnd):
    """A network by a plan, which is there inside a `with` block.

    Raises `NoAbilityError` on a machine that cannot have one, and says what to do there.

    with_routers: whether all routers are started at once; otherwise `start_router` does it.
    outside: what the plan's links to other machines need (`course_lib.live.outer_links`).
    """

    def __init__(
        self, plan: LivePlan, *, with_routers: bool = True, outside: OuterAccess | None = None
    ) -> None:
        self.plan, self._with_routers, self._outside = plan, with_routers, outside
        self._supervised: Supervised | None = None
        self._talks = dict[str, RouterTalk]()
        self._measurements = list[Measurement]()

    def __enter__(self) -> Self:
        if sys.platform != "linux":
            raise NoAbilityError(*why_not())
        supervised = self._supervised = Supervised()
        try:
            for host in self.plan.hosts:
                supervised.order("add_place", name=host.name, settings={**host.settings})
            for router in self.plan.routers:
                supervised.order("add_place", name=router.name, settings={})
            for link in self.plan.links:
                supervised.order("add_link", ends=[self._end(end) for end in link.ends])
            if self._with_routers:
                self.start_routers(*(router.name for router in self.plan.routers))
        except BaseException as problem:
            self.close()
            if isinstance(problem, StepError):
                raise NoAbilityError(*why_not(problem)) from problem
            raise
        return self

    def close(self) -> None:
        """End everything in the network, and the network with it."""
        supervised, self._supervised = self._supervised, None
        if supervised is None:
            return
        supervised.close()
        for talk in self._talks.values():
            talk.stop()
        for measurement in self._measurements:
            measurement.stop()
        self._talks.clear()
        self._measurements.clear()

    @property
    def is_there(self) -> bool:
        """Whether the network has been made and has not ended."""
        return self._supervised is not None and self._supervised.is_running

    # --- measuring

    def measure(self, host: str, name: str, /, **arguments: Any) -> Measurement:
        """Begin a measurement in a host; return its rows as they come.

        name: of `course_lib.live.measuring`, such as "echo"; it takes the arguments.
        """
        place = self.plan.host(host).name
        words = ["-m", MEASURING, name, json.dumps(arguments)]
        begun = Measurement(LiveProcess(self._running, place, words, lines_on_output=True))
        self._measurements.append(begun)
        return begun

    # --- routers

    def start_router(self, name: str) -> None:
        """Start the process of a router, and wait until it forwards."""
        self.start_routers(name)

    def start_routers(self, *names: str) -> None:
        """Start the processes of several routers at once, and wait until all forward."""
        talks = {}
        for name in names:
            if self.is_alive(name):
                raise LiveNetworkError(f"router {name!r} runs already; stop it first")
            if name in self._talks:
                self.stop_router(name)  # it has ended by itself
            links, sockets = orders_for(name, self.plan.outer_links, self._outside)
            order = self._order(self.plan.router(name)) | {"links": links}
            talks[name] = RouterTalk(self._running, order, sockets)
        self._talks |= talks
        for talk in talks.values():
            talk.wait_until_ready()

    def stop_router(self, name: str) -> None:
        """End the process of a router: from now on nobody forwards there."""
        self._talk(name).stop()
        del self._talks[name]

    def is_alive(self, router: str) -> bool:
        """Tell whether a router's process runs."""
        self.plan.router(router)
        return router in self._talks and not self._talks[router].why_it_ended

    def state(self, router: str) -> RouterState:
        """Return what a router knows and has counted."""
        return state_of(self._talk(router).ask("state")["state"])

    def change(self, router: str, change: Change) -> None:
        """Change something at a router while packets flow; raises `SteeringError` in words."""
        answer = self._talk(router).ask("change", change=as_plain(change))
        if "problem" in answer:
            raise SteeringError(f"router {router!r}: {answer['problem']}")

    def make_anew(self, router: str, recipe: Recipe) -> None:
        """Let a router's process make its router anew; raises `LiveNetworkError` if it can't."""
        answer = self._talk(router).ask("make anew", recipe=recipe.as_data())
        if "problem" in answer:
            raise LiveNetworkError(f"router {router!r} could not be made: {answer['problem']}")

    def link_reports(self, router: str) -> dict[str, LinkReport]:
        """Return what is to be told of a router's links to other machines, by interface."""
        told = self._talk(router).ask("links")["links"]
        return {name: LinkReport.from_plain(report) for name, report in told.items()}

    def change_terms(self, router: str, interface: str, terms: LinkTerms) -> None:
        """Let such a link go by other terms from now on; raises `TermsError` in words."""
        asked = {"interface": interface, "terms": terms.to_plain()}
        answer = self._talk(router).ask("change terms", **asked)
        if "problem" in answer:
            raise TermsError(f"router {router!r}: {answer['problem']}")

    def start_program(self, place: str, program: str, *words: str) -> LiveProcess:
        """Start a module of ours in a place; it speaks in lines of JSON, and ends with the network.

        Whoever starts it stops it.
        """
        return LiveProcess(self._running, place, ["-m", program, *words])

    def follow_next_packet(
        self, router: str, interface: str | None = None, between: bytes | None = None
    ) -> Future[FollowedPacket]:
        """Follow the next packet that comes to a router, and all that becomes of it.

        interface: where it must come in, None for any. between: source and destination as they
        stand in its header, 8 octets. The result is there when the packet has left; it is
        `SteeringError` if a packet is being followed already, or nobody waits for it any more.
        """
        found, talk = Future[FollowedPacket](), self._talk(router)
        asked = talk.command(
            "follow the next packet", interface=interface, between=between and between.hex()
        )
        asked.add_done_callback(partial(_hand_over, found))
        return found

    def end_following(self, router: str) -> None:
        """Wait no longer for a packet that was to be followed and has not come."""
        self._talk(router).command("end following")

    def complaints(self, router: str) -> list[str]:
        """Return what a router's process has complained about, the oldest first."""
        return [str(event.get("text", event)) for event in self._talk(router).events]

    def cut(self, link: str) -> None:
        """Cut a link: nothing comes through, and the routers at its ends are told."""
        self._set_link(link, is_up=False)

    def mend(self, link: str) -> None:
        """Make a link whole again."""
        self._set_link(link, is_up=True)

    # --- inside

    @property
    def _running(self) -> Supervised:
        if self._supervised is None:
            raise LiveNetworkError("the private network is there inside a `with` block only")
        return self._supervised

    def _talk(self, router: str) -> RouterTalk:
        self.plan.router(router)
        if router not in self._talks:
            raise LiveNetworkError(f"router {router!r} does not run; start it")
        return self._talks[router]

    def _set_link(self, link: str, *, is_up: bool) -> None:
        for end in self.plan.link(link).ends:
            if end.place in self._talks:
                self.change(end.place, SetLink(end.interface, is_up))

    def _end(self, end: End) -> dict[str, object]:
        """Return the end of a link as the supervisor wants it."""
        interface, address = self.plan.interface(end), None
        for host in self.plan.hosts:
            if host.name == end.place:
                address = _address(host)
                device = device_names([interface])[end.interface]
        for router in self.plan.routers:
            if router.name == end.place:
                device = device_names(router.interfaces)[end.interface]
        mac = format_mac(interface.hardware_address)
        return {"place": end.place, "device": (device, mac, interface.mtu), "address": address}

    def _order(self, router: LiveRouter) -> dict[str, object]:
        """Return the first line for a router's process."""
        leave, arrive = self.plan.lines_of(router.name)
        devices = device_names(router.interfaces)
        return {
            "name": router.name,
            "interfaces": [_as_data(one, devices[one.name]) for one in router.interfaces],
            "recipe": router.recipe.as_data(),
            "lines": {name: settings.as_data() for name, settings in leave.items()},
            "lines_in": {name: settings.as_data() for name, settings in arrive.items()},
        }


def _hand_over(found: Future[FollowedPacket], answer: Future[dict[str, Any]]) -> None:
    """Turn the answer about a packet into what was asked for."""
    try:
        told = answer.result()
        if "problem" in told:
            raise SteeringError(told["problem"])
        found.set_result(FollowedPacket.from_data(told["followed"]))
    except Exception as problem:  # whoever asked for it shall see it
        found.set_exception(problem)


def _address(host: LiveHost) -> tuple[str, int, str | None]:
    gateway = None if host.gateway is None else format_address(host.gateway)
    return format_address(host.interface.address), host.interface.prefix.length, gateway


def _as_data(interface: Interface, device: str) -> dict[str, object]:
    return {
        "name": interface.name,
        "device": device,
        "hardware_address": interface.hardware_address.hex(),
        "address": format_address(interface.address),
        "prefix": str(interface.prefix),
        "mtu": interface.mtu,
    }
