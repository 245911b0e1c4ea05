"""The board of clauses with a router that runs: a process on packet sockets, between real kernels.

    with LiveBoard(my_recipe("make_mine")) as live:
        print(board_of(live.play))

What differs from a router object in the same process: frames pass the kernel, time is real, and
what the router makes of a frame is known when it has come to the far end. So a clause ends when all
that was sent has been dealt with, or, where time has to pass, when what it wants has come. The
router is made anew for each clause, in the same process.
"""

__all__ = ["LiveBoard"]

import time
from typing import Any, Self

from course_lib.conformance.bench import INTERFACES
from course_lib.conformance.given import Given
from course_lib.conformance.scenario import Exchange, Scenario, introductions
from course_lib.conformance.seen import Sent
from course_lib.ip.packets import Interface
from course_lib.live.carrying.recipes import LibraryRecipe, Recipe
from course_lib.live.closed_in_the_end import ClosedInTheEnd
from course_lib.live.private_network.plan import LiveLink, LivePlan, LiveRouter, device_names
from course_lib.live.private_network.private_network import PrivateNetwork
from course_lib.live.private_network.supervised import LiveNetworkError
from course_lib.network.wires import End
from course_lib.prefixes.text import parse_address

ROUTER = "North Pier"
LONGEST_S = 60.0  # what takes longer is not played unless somebody wants that
SHORT_S, SURE_S = 1.0, 3.0  # what wants no longer than the first; time in which nothing may come
_LOOK_EVERY_S = 0.02
PROGRAM = "course_lib.live.board_neighbours"
_FAR = {"quay": "192.0.2.60", "radio": "198.51.100.60", "cable": "192.0.2.255"}


class LiveBoard(ClosedInTheEnd):
    """A router's process with the board's neighbours around it, inside a `with` block.

    recipe: how the router is made; its routes are those of each clause. longest_s: clauses that
    take so long, or longer, are not tried. Raises `NoAbilityError` where no network can be had.
    """

    def __init__(self, recipe: Recipe | None = None, *, longest_s: float = LONGEST_S) -> None:
        self._recipe, self._longest_s = recipe or LibraryRecipe(), longest_s
        self._network = PrivateNetwork(_plan(), with_routers=False)
        self._neighbours: dict[str, _Neighbours] = {}
        self._begin_s = 0.0

    def __enter__(self) -> Self:
        self._network.__enter__()
        try:
            self._network.start_router(ROUTER)
            for each in INTERFACES:
                self._neighbours[each.name] = _Neighbours(self._network, each.name)
        except BaseException:
            self.close()
            raise
        return self

    def close(self) -> None:
        """End the network, and the neighbours with it."""
        self._network.close()
        for each in self._neighbours.values():
            each.let_go()
        self._neighbours.clear()

    def play(self, scenario: Scenario) -> Exchange | str:
        """Try a clause; a text says why it is not tried."""
        if scenario.until_s >= self._longest_s:
            return f"it takes {scenario.until_s:g} s of real time"
        recipe = self._recipe._replace(routes=tuple(scenario.routes))
        try:
            if not self._network.is_alive(ROUTER):
                self._network.start_router(ROUTER)
            self._network.make_anew(ROUTER, recipe)
            told = len(self._network.complaints(ROUTER))
            self._play(scenario)
            troubles = self._network.complaints(ROUTER)[told:]
            complaints = self._network.state(ROUTER).complaints
        except LiveNetworkError as lost:
            return Exchange((), str(lost))
        trouble = troubles[0] if troubles else ""
        return Exchange(self._seen(), trouble, complaints[-1] if complaints else "")

    def _play(self, scenario: Scenario) -> None:
        self._begin(scenario)
        if scenario.is_introduced:
            for given in introductions():
                self._send(given)
            self._settle()
        self._begin(scenario)
        begin_s = time.monotonic()
        for given in sorted(scenario.given, key=lambda each: each.at_s):
            time.sleep(max(0.0, begin_s + given.at_s - time.monotonic()))
            self._send(given)
        self._settle()
        if scenario.until_s <= SHORT_S:
            return
        while (passed_s := time.monotonic() - begin_s) < scenario.until_s and (
            passed_s < min(scenario.until_s, SURE_S) or self._is_missing(scenario)
        ):
            time.sleep(_LOOK_EVERY_S)

    def _is_missing(self, scenario: Scenario) -> bool:
        return scenario.expected.problem(Exchange(self._seen()).seen(scenario)) is not None

    def _begin(self, scenario: Scenario) -> None:
        for each in self._neighbours.values():
            each.ask(begin=sorted(scenario.silent))
        self._begin_s = time.time()

    def _settle(self) -> None:
        """Wait until all that was sent, and what neighbours then answered, has been dealt with."""
        answered = -1
        while answered != (now := sum(each.answered() for each in self._neighbours.values())):
            answered = now
            # Between two answers of its process lies a whole turn of its loop.
            self._network.state(ROUTER)
            self._network.state(ROUTER)

    def _send(self, given: Given) -> None:
        self._neighbours[given.interface].ask(send=[given.frame.hex()])

    def _seen(self) -> tuple[Sent, ...]:
        found = [
            Sent(at_s - self._begin_s, name, bytes.fromhex(octets))
            for name, each in self._neighbours.items()
            for at_s, octets in each.ask(tell=True)["seen"]
        ]
        return tuple(sorted(found))


class _Neighbours:
    """The process of those at one link, as seen from here."""

    def __init__(self, network: PrivateNetwork, link: str) -> None:
        place = f"at the {link}"
        (device,) = device_names(network.plan.router(place).interfaces).values()
        self._process = network.start_program(place, PROGRAM, link, device)
        self._answers = self._process.lines()
        next(self._answers)  # they are there

    def let_go(self) -> None:
        """Close what led to it; it has ended with its network."""
        self._process.stop()

    def answered(self) -> int:
        """Return how often somebody has answered."""
        number: int = self.ask(tell=True)["answered"]
        return number

    def ask(self, **message: object) -> dict[str, Any]:
        """Ask, and return the answer; raises `LiveNetworkError`."""
        self._process.send(message)
        for answer in self._answers:
            return answer
        raise LiveNetworkError("the neighbours on the board have ended")


def _plan() -> LivePlan:
    """Return the board's place: the router, and a place at the far end of each of its links."""
    routers, links = [LiveRouter(ROUTER, INTERFACES)], []
    for number, each in enumerate(INTERFACES):
        place, card = f"at the {each.name}", bytes.fromhex("00005e0053") + bytes([0xF0 + number])
        far = Interface(each.name, card, parse_address(_FAR[each.name]), each.prefix)
        routers.append(LiveRouter(place, (far,)))
        links.append(LiveLink((End(ROUTER, each.name), End(place, each.name))))
    return LivePlan((), tuple(routers), tuple(links))
