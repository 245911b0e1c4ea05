"""What a private network consists of: hosts, routers, and links between them, as plain values.

A host is a kernel of its own: real IP, real TCP. A router is a process of ours. The same rules as
in a simulated network hold for the addresses, and are checked by the same `AddressBook` before
anything is made.

* A place has a name for people, and so has an interface: "to Reed Pier". The kernel's names have at
  most 15 octets and no blanks (IFNAMSIZ in linux/if.h), so they are made here: `device_names`.
* What a line does to frames, `LineSettings`, is set for each direction of a link by itself.
"""

__all__ = ["HOST_SETTINGS", "LiveHost", "LiveLink", "LivePlan", "LiveRouter", "device_names"]

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple, TypeVar

from course_lib.ip.packets import Interface
from course_lib.live.carrying.line_settings import LineSettings
from course_lib.live.carrying.recipes import LibraryRecipe, Recipe
from course_lib.live.outer_links.outer_link import OuterLink, check_outer_links
from course_lib.network.plan_checks import AddressBook
from course_lib.network.wires import End, NetworkError, Wire
from course_lib.prefixes.text import format_address
from course_lib.routing.protocol import link_between

MOST_DEVICE_OCTETS = 15  # linux/if.h: IFNAMSIZ, less the end of the text
MOST_PLACES = 200  # each costs kernel memory, and each router a process
HOST_SETTINGS: Mapping[str, str] = MappingProxyType(
    {
        "net.ipv4.tcp_no_metrics_save": "1",  # a connection learns nothing from those before it
        "net.ipv4.tcp_rmem": "4096 4000000 16000000",  # octets: least, at first, most
        "net.ipv4.tcp_wmem": "4096 4000000 16000000",
    }
)


class LiveHost(NamedTuple):
    """A host: its one interface, and the router to which it hands what is not for its own link.

    settings: of its kernel, by the names of sysctl(8).
    """

    name: str
    interface: Interface
    gateway: int | None = None
    settings: Mapping[str, str] = HOST_SETTINGS


class LiveRouter(NamedTuple):
    """A router: its interfaces, and the recipe by which its process makes the router object."""

    name: str
    interfaces: tuple[Interface, ...]
    recipe: Recipe = LibraryRecipe()


class LiveLink(NamedTuple):
    """A link between two ends; `there` is the line from the first to the second, `back` the other.

    Lines are kept by the router that sends, and for what a host sends by the router that receives.
    """

    ends: tuple[End, End]
    there: LineSettings = LineSettings()
    back: LineSettings = LineSettings()

    @property
    def name(self) -> str:
        """Return the name, after the two places: "North Pier - Reed Pier"."""
        return link_between(*(end.place for end in self.ends))


@dataclass(frozen=True, slots=True)
class LivePlan:
    """A whole network; raises `NetworkError` for one that cannot be, and says what to change."""

    hosts: tuple[LiveHost, ...]
    routers: tuple[LiveRouter, ...]
    links: tuple[LiveLink, ...]
    outer_links: tuple[OuterLink, ...] = ()

    def __post_init__(self) -> None:
        book, routers = AddressBook(), {router.name for router in self.routers}
        if len(self.hosts) + len(self.routers) > MOST_PLACES:
            raise NetworkError(
                f"a private network has {MOST_PLACES} places at most; leave out some"
            )
        for name, interfaces in self._places():
            book.add(name, interfaces)
            device_names(interfaces)
        for link in self.links:
            book.connect(Wire(link.name, link.ends))
            if not routers & {end.place for end in link.ends} and {link.there, link.back} != {
                LineSettings()
            }:
                raise NetworkError(
                    f"the link {link.name!r} joins two hosts, so no router keeps its lines; leave "
                    "its settings out, or put a router between"
                )
        wired = {end for link in self.links for end in link.ends}
        wired |= check_outer_links(
            self.outer_links, {each.name: each.interfaces for each in self.routers}, wired
        )
        for name, interfaces in self._places():
            for interface in interfaces:
                if End(name, interface.name) not in wired:
                    raise NetworkError(
                        f"no link leads to interface {interface.name!r} of {name!r}; add one"
                    )
        for host in self.hosts:
            if host.gateway is not None and not host.interface.prefix.contains(host.gateway):
                raise NetworkError(
                    f"the gateway {format_address(host.gateway)} of {host.name!r} is not in "
                    f"{host.interface.prefix}, so the host could not reach it; take the address of "
                    "a router on its link"
                )

    def interface(self, end: End) -> Interface:
        """Return the interface at the end of a link."""
        there = dict(self._places())[end.place]
        return next(one for one in there if one.name == end.interface)

    def host(self, name: str) -> LiveHost:
        """Return a host by its name; raises `NetworkError` for a name that nobody has."""
        return _named(name, "host", self.hosts)

    def router(self, name: str) -> LiveRouter:
        """Return a router by its name; raises `NetworkError` for a name that nobody has."""
        return _named(name, "router", self.routers)

    def link(self, name: str) -> LiveLink:
        """Return a link by its name; raises `NetworkError` for a name that nobody has."""
        return _named(name, "link", self.links)

    def place_of(self, address: int) -> str | None:
        """Return the name of the host or router whose address this is, None if nobody's."""
        return next(
            (
                name
                for name, interfaces in self._places()
                if any(interface.address == address for interface in interfaces)
            ),
            None,
        )

    def lines_of(self, router: str) -> tuple[dict[str, LineSettings], dict[str, LineSettings]]:
        """Return the lines that a router keeps, by interface: those that leave, those that arrive.

        Of those that arrive it keeps the ones from hosts, which keep none themselves.
        """
        hosts = {host.name for host in self.hosts}
        arrive = dict[str, LineSettings]()
        leave = {
            link.end.interface: link.line_out
            for link in self.outer_links
            if link.end.place == router
        }
        for link in self.links:
            one, other = link.ends
            for mine, peer, out, back in (
                (one, other, link.there, link.back),
                (other, one, link.back, link.there),
            ):
                if mine.place == router:
                    leave[mine.interface] = out
                    if peer.place in hosts:
                        arrive[mine.interface] = back
        return leave, arrive

    def _places(self) -> list[tuple[str, tuple[Interface, ...]]]:
        hosts = [(host.name, (host.interface,)) for host in self.hosts]
        return [*hosts, *((router.name, router.interfaces) for router in self.routers)]


def device_names(interfaces: Iterable[Interface]) -> dict[str, str]:
    """Return, for the interfaces of one place, names that the kernel can have; all differ.

    >>> from course_lib.prefixes import parse_prefix
    >>> prefix = parse_prefix("192.0.2.0/31")
    >>> names = ("wired", "to Reed Pier", "to Timetable Boards", "to Timetable Board")
    >>> list(device_names(Interface(name, bytes(6), 0, prefix) for name in names).values())
    ['wired', 'to-Reed-Pier', 'to-Timetable-Bo', 'to-Timetable-~3']
    """
    names = dict[str, str]()
    for number, interface in enumerate(interfaces):
        plain = "".join(c if c.isascii() and c.isalnum() else "-" for c in interface.name)
        name = plain[:MOST_DEVICE_OCTETS]
        if not name or name in {*names.values(), "lo", "all", "default"}:
            end = f"~{number}"
            name = plain[: MOST_DEVICE_OCTETS - len(end)] + end
        names[interface.name] = name
    return names


T = TypeVar("T", LiveHost, LiveRouter, LiveLink)


def _named(name: str, kind: str, things: Iterable[T]) -> T:
    for thing in things:
        if thing.name == name:
            return thing
    there = ", ".join(thing.name for thing in things) or "none at all"
    raise NetworkError(f"there is no {kind} {name!r}; there are {there}")
