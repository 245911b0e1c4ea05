"""Drag an address over its line and see what answers; press bands to insert and withdraw routes.

By keyboard: Tab goes to the address, arrows move it; Tab goes on to the routes, arrows lead from
one to the next, Space inserts or withdraws.

The picture is `course_lib.figures.trie_diagram`. The state is two values, the routes that are in
the table now and the address.
"""

__all__ = ["TrieExplorer", "explore_trie"]

from collections.abc import Iterable, Mapping

from course_lib.figures.headers.header_words import counted
from course_lib.figures.lookup.trie_diagram import trie_scene
from course_lib.figures.lookup.trie_words import nodes_of, shown_bits, way_of
from course_lib.widgets.as_written import whole_number
from course_lib.widgets.touch_figure import Action, Button, Picture, TouchFigure, Written

_HOW = "Drag the address along its line, or press a band to insert or withdraw its route."


def explore_trie(
    routes: Mapping[str, str], *, at_first: Iterable[str] = (), address: str = "00000000"
) -> "TrieExplorer":
    """Show a trie that can be changed.

    `routes` maps prefixes to next hops, all of them bits as text: these can be inserted. Those
    `at_first` are in the table from the start. `address` is the first one that is looked up, and
    says how many bits an address has. Raises `ValueError` for what is not bits, for a prefix longer
    than an address, and if there is no route.
    """
    return TrieExplorer(routes, tuple(at_first), address)


class TrieExplorer(TouchFigure):
    """The live figure of a trie; `routes` are what is in it now, `address` is looked up."""

    def __init__(self, offered: Mapping[str, str], at_first: tuple[str, ...], address: str) -> None:
        nodes_of(offered)  # refuses what is not bits
        if not offered or not set(at_first) <= set(offered):
            raise ValueError("there must be routes, and those at first must be among them")
        if not address or max(map(len, offered)) > len(address):
            raise ValueError(f"no prefix may be longer than the address {address!r}")
        self._offered = dict(offered)
        self._start = {prefix: offered[prefix] for prefix in at_first}
        self.address = self._first_address = way_of(offered, address).address
        self.routes = dict(self._start)
        actions: dict[str, Action] = {
            "address": self._moved,
            "written": self._written,
            "route": self._pressed,
            "again": self._restarted,
        }
        super().__init__(self._draw(_HOW), actions)

    def _moved(self, number: int) -> Picture:
        self.address = f"{number:0{len(self.address)}b}"
        return self._draw("", moves=False)

    def _written(self, text: str) -> Picture:
        bits = len(self.address)
        if len(text) == bits and not set(text) - {"0", "1"}:  # bits, as the figure shows them
            number = int(text, 2)
        else:
            number = whole_number(text, 0, (1 << bits) - 1)
        self.address = f"{number:0{bits}b}"
        return self._draw("")

    def _restarted(self, _: None) -> Picture:
        self.routes, self.address = dict(self._start), self._first_address
        return self._draw(_HOW)

    def _pressed(self, prefix: str) -> Picture:
        """Insert a route that is not in the table, withdraw one that is."""
        before = nodes_of(self.routes)
        if prefix in self.routes:
            verb = "Withdrew"
            self.routes = {one: hop for one, hop in self.routes.items() if one != prefix}
        else:
            verb = "Inserted"
            self.routes = {**self.routes, prefix: self._offered[prefix]}
        after = nodes_of(self.routes)
        fresh, gone = sorted(set(after) - set(before)), set(before) - set(after)
        what = "no node comes or goes"
        if fresh or gone:
            what = f"{counted(len(fresh or gone), 'node')} {'made' if fresh else 'cut off'}"
        return self._draw(f"{verb} {shown_bits(prefix)}: {what}.", fresh)

    def _draw(self, change: str, fresh: Iterable[str] = (), *, moves: bool = True) -> Picture:
        """Return the way step by step; the last step is the whole of it."""
        way = way_of(self.routes, self.address)
        scenes = [
            trie_scene(
                self.routes, way.until(count, self.routes), offered=self._offered,
                fresh=tuple(fresh),
            )
            for count in range(1, len(way.nodes) + 1)
        ]  # fmt: skip
        size = counted(len(self.routes), "route"), counted(len(nodes_of(self.routes)), "node")
        words = (
            f"{change} The trie has {' and '.join(size)}.".strip(),
            f"{scenes[-1].words.title}.",
        )
        controls = (
            Written("written", "Address", self.address, len(self.address) + 2),
            Button("again", "Start again"),
        )
        return Picture(tuple(scenes), words, controls, moves)
