"""Put routes into a trie and take them out again; choose an address and see its way.

By keyboard: Tab goes from control to control, Space opens the list of prefixes and presses a
button, arrows change the address.

The picture is `course_lib.figures.trie_diagram`. The state is one value, the routes
that are in the table now.
"""

__all__ = ["TrieExplorer", "explore_trie"]

from collections.abc import Iterable, Mapping
from typing import Any

import ipywidgets as widgets

from course_lib.figures.headers.header_words import counted
from course_lib.figures.lookup.trie_diagram import trie_diagram
from course_lib.figures.lookup.trie_words import nodes_of, shown_bits, way_of
from course_lib.widgets.live_figure import LiveFigure, status

_STYLE: dict[str, Any] = {"style": {"description_width": "64px"}, "layout": {"width": "260px"}}


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
        self.when_clicked(self.insert, self._insert)
        self.when_clicked(self.withdraw, self._withdraw)
        self.when_clicked(self.start_again, self._restart)
        self.when_changed(self.address, self._draw)
        self._restart()

    def _make_controls(self, address: str) -> None:
        names = [(f"{shown_bits(prefix)} → {hop}", prefix) for prefix, hop in self._offered.items()]
        self.prefix = widgets.Dropdown(options=names, description="Prefix", **_STYLE)
        self.insert = widgets.Button(description="Insert")
        self.withdraw = widgets.Button(description="Withdraw")
        self.start_again = widgets.Button(description="Start again")
        number, last = int(address, 2), (1 << self._bits) - 1
        self.address = widgets.BoundedIntText(
            value=number, max=last, description="Address", **_STYLE
        )
        self.slider = widgets.IntSlider(
            value=number, max=last, readout=False, tooltip="Address: slide to choose"
        )
        widgets.link((self.address, "value"), (self.slider, "value"))
        self.bits = widgets.HTML()

    def _restart(self) -> None:
        self.routes = dict(self._start)
        self._change = "Choose a prefix and insert or withdraw it; choose an address to look up."
        self._draw()

    def _insert(self) -> None:
        prefix = self.prefix.value
        if prefix in self.routes:
            self._change = f"{shown_bits(prefix)} is in the table already: nothing has changed."
        else:
            self._become({**self.routes, prefix: self._offered[prefix]}, "Inserted")
        self._draw()

    def _withdraw(self) -> None:
        prefix = self.prefix.value
        if prefix not in self.routes:
            self._change = f"{shown_bits(prefix)} is not in the table: nothing to withdraw."
        else:
            left = {other: hop for other, hop in self.routes.items() if other != prefix}
            self._become(left, "Withdrew")
        self._draw()

    def _become(self, routes: dict[str, str], verb: str) -> None:
        before, after = len(nodes_of(self.routes)), len(nodes_of(routes))
        nodes = f"{counted(abs(after - before), 'node')} {'made' if after > before else 'cut off'}"
        what = nodes if after != before else "no node comes or goes"
        self._change = f"{verb} {shown_bits(self.prefix.value)}: {what}."
        self.routes = routes

    def _draw(self) -> None:
        address = f"{self.address.value:0{self._bits}b}"
        self.bits.value = status([f"in bits: {address}"])
        figure = trie_diagram(self.routes, address)
        size = counted(len(self.routes), "route"), counted(len(nodes_of(self.routes)), "node")
        self.draw([self._change, f"The trie has {' and '.join(size)}.", f"{figure.title}."], figure)
