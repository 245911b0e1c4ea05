"""Put routes into a trie and take them out again; choose an address and see its way.

By keyboard: Tab goes from control to control, Space opens the list of prefixes and presses a
button, arrows change the address.

The picture is `course_lib.figures.trie_diagram`. The state is one value, the routes
that are in the table now.
"""

__all__ = ["TrieExplorer", "explore_trie"]

from collections.abc import Iterable, Mapping

import ipywidgets as widgets

from course_lib.figures.headers.header_words import counted
from course_lib.figures.lookup.trie_diagram import trie_diagram
from course_lib.figures.lookup.trie_words import nodes_of, shown_bits, way_of
from course_lib.widgets.live_figure import LiveFigure, looks, slider_beside, status

_LOOKS = looks("64px", "260px")


def explore_trie(
    routes: Mapping[str, str], *, at_first: Iterable[str] = (), address: str = "00000000"
) -> "TrieExplorer":
    """Show a trie with controls to change it.

    `routes` maps prefixes to next hops, all of them bits as text: these can be inserted. Those
    `at_first` are in the table from the start. `address` is the first one that is looked up, and
    says how many bits an address has. Raises `ValueError` for what is not bits, for a prefix longer
    than an address, and if there is no route.
    """
    return TrieExplorer(routes, tuple(at_first), address)


class TrieExplorer(LiveFigure):
    """The live figure of a trie; `routes` are what is in it now."""

    def __init__(self, offered: Mapping[str, str], at_first: tuple[str, ...], address: str) -> None:
        nodes_of(offered)  # refuses what is not bits
        if not offered or not set(at_first) <= set(offered):
            raise ValueError("there must be routes, and those at first must be among them")
        if not address or max(map(len, offered)) > len(address):
            raise ValueError(f"no prefix may be longer than the address {address!r}")
        self._offered = dict(offered)
        self._start = {prefix: offered[prefix] for prefix in at_first}
        self._bits = len(address)
        self.routes: dict[str, str] = {}
        self._make_controls(way_of(offered, address).address)
        super().__init__(
            (self.prefix, self.insert, self.withdraw, self.start_again),
            (self.address, self.slider, self.bits),
        )
        self.when_changed(self._draw, self.address)
        self._restart()

    def _make_controls(self, address: str) -> None:
        names = [(f"{shown_bits(prefix)} → {hop}", prefix) for prefix, hop in self._offered.items()]
        self.prefix = widgets.Dropdown(options=names, description="Prefix", **_LOOKS)
        self.insert = self.button("Insert", self._insert)
        self.withdraw = self.button("Withdraw", self._withdraw)
        self.start_again = self.button("Start again", self._restart)
        self.address = widgets.BoundedIntText(
            int(address, 2), max=(1 << self._bits) - 1, description="Address", **_LOOKS
        )
        self.slider = slider_beside(self.address)
        self.bits = widgets.HTML()

    def _restart(self) -> None:
        self.routes = dict(self._start)
        self._change = "Choose a prefix and insert or withdraw it; choose an address to look up."
        self._draw()

    def _insert(self) -> None:
        prefix = self.prefix.value
        more = {**self.routes, prefix: self._offered[prefix]}
        self._become(more, "Inserted", "is in the table already: nothing has changed")

    def _withdraw(self) -> None:
        left = {prefix: hop for prefix, hop in self.routes.items() if prefix != self.prefix.value}
        self._become(left, "Withdrew", "is not in the table: nothing to withdraw")

    def _become(self, routes: dict[str, str], verb: str, otherwise: str) -> None:
        """Take other routes, and say what this does to the nodes; or else why they are the same."""
        prefix = shown_bits(self.prefix.value)
        before, after = len(nodes_of(self.routes)), len(nodes_of(routes))
        nodes = f"{counted(abs(after - before), 'node')} {'made' if after > before else 'cut off'}"
        what = nodes if after != before else "no node comes or goes"
        is_other = routes != self.routes
        self._change = f"{verb} {prefix}: {what}." if is_other else f"{prefix} {otherwise}."
        self.routes = routes
        self._draw()

    def _draw(self) -> None:
        address = f"{self.address.value:0{self._bits}b}"
        self.bits.value = status([f"in bits: {address}"])
        figure = trie_diagram(self.routes, address)
        size = counted(len(self.routes), "route"), counted(len(nodes_of(self.routes)), "node")
        self.draw([self._change, f"The trie has {' and '.join(size)}.", f"{figure.title}."], figure)
