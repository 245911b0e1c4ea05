"""Drag an address over its line and see what answers; press bands to insert and withdraw routes.

By keyboard: Tab goes to the address, arrows move it; Tab goes on to the routes, arrows lead from
one to the next, Space inserts or withdraws.

When the figure asks which next hop answers, the same bands take the guess, and the address stays.

The picture is `course_lib.figures.trie_diagram`. The state is three values: the routes that are in
the table now, the address, and the reader's guess.
"""

__all__ = ["TrieExplorer", "explore_trie"]

from collections.abc import Iterable, Mapping
from dataclasses import replace

from course_lib.figures.headers.header_words import counted
from course_lib.figures.lookup.trie_diagram import trie_scene
from course_lib.figures.lookup.trie_question import NO_ROUTE, Question
from course_lib.figures.lookup.trie_words import nodes_of, shown_bits, way_of
from course_lib.widgets.touch.as_written import whole_number
from course_lib.widgets.touch.own_guess import OwnGuess
from course_lib.widgets.touch.touch_figure import (
    Action,
    Button,
    Control,
    Picture,
    TouchFigure,
    Written,
)

_HOW = "Drag the address along its line, or press a band to insert or withdraw its route."
_TURN = 0.618  # from one question to the next, as a share of all addresses: they lie far apart


def explore_trie(
    routes: Mapping[str, str],
    *,
    at_first: Iterable[str] = (),
    address: str = "00000000",
    ask: bool = False,
) -> "TrieExplorer":
    """Show a trie that can be changed.

    `routes` maps prefixes to next hops, all of them bits as text: these can be inserted. Those
    `at_first` are in the table from the start. `address` is the first one that is looked up, and
    says how many bits an address has. With `ask` the figure first asks which next hop answers it.
    Raises `ValueError` for what is not bits, for a prefix longer
    than an address, and if there is no route.
    """
    return TrieExplorer(routes, tuple(at_first), address, ask=ask)


class TrieExplorer(TouchFigure):
    """The live figure of a trie; `routes` are what is in it now, `address` is looked up."""

    def __init__(
        self, offered: Mapping[str, str], at_first: tuple[str, ...], address: str, *, ask: bool
    ) -> None:
        nodes_of(offered)  # refuses what is not bits
        if not offered or not set(at_first) <= set(offered):
            raise ValueError("there must be routes, and those at first must be among them")
        if not address or max(map(len, offered)) > len(address):
            raise ValueError(f"no prefix may be longer than the address {address!r}")
        self._offered = dict(offered)
        self._start = {prefix: offered[prefix] for prefix in at_first}
        self.address = self._first_address = way_of(offered, address).address
        self.routes = dict(self._start)
        self.guess: OwnGuess | None = self._asked_now() if ask else None
        self._flag: str | None = None  # the prefix that was guessed
        actions: dict[str, Action] = {
            "address": self._moved,
            "written": self._written,
            "route": self._pressed,
            "again": self._restarted,
            "ask": self._another,
            "guess": self._guessed,
            "answer": self._answered,
        }
        super().__init__(self._draw(_HOW), actions)

    def _moved(self, number: int) -> Picture:
        self._lead_to(number)
        return self._draw("", moves=False)

    def _written(self, text: str) -> Picture:
        bits = len(self.address)
        if len(text) == bits and not set(text) - {"0", "1"}:  # bits, as the figure shows them
            number = int(text, 2)
        else:
            number = whole_number(text, 0, (1 << bits) - 1)
        self._lead_to(number)
        return self._draw("")

    def _lead_to(self, number: int) -> None:
        """Take another address: what was guessed for the one before is no longer asked."""
        self.address = f"{number:0{len(self.address)}b}"
        self.guess = self._flag = None

    def _restarted(self, _: None) -> Picture:
        self.routes = dict(self._start)
        self._lead_to(int(self._first_address, 2))
        return self._draw(_HOW)

    def _asked_now(self) -> OwnGuess:
        return OwnGuess(f"Which next hop answers {self.address}? Press the band of its route.")

    def _another(self, _: None) -> Picture:
        """Ask about another address; all come in their turn before the first one comes again."""
        count = 1 << len(self.address)
        self._lead_to((int(self.address, 2) + (int(count * _TURN) | 1)) % count)
        self.guess = self._asked_now()
        return self._draw("")

    def _guessed(self, prefix: str | None) -> Picture:
        """Take the band that was pressed; None is the button that says that none answers."""
        flag = NO_ROUTE if prefix is None else prefix
        words = Question(flag).in_words(self.routes)
        self.guess, self._flag = (self.guess or self._asked_now()).given_as(words), flag
        return self._draw("")

    def _answered(self, _: None) -> Picture:
        """Play the way of the address, now that it was guessed."""
        self.guess = (self.guess or self._asked_now()).answered()
        return replace(self._draw(""), plays=True)

    @property
    def _is_asking(self) -> bool:
        return self.guess is not None and self.guess.is_open

    def _pressed(self, prefix: str) -> Picture:
        """Insert a route that is not in the table, withdraw one that is."""
        before = nodes_of(self.routes)
        self.guess = self._flag = None
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
        question = Question(self._flag, self._is_asking) if self.guess is not None else None
        counts = [len(way.nodes)] if self._is_asking else range(1, len(way.nodes) + 1)
        scenes = [
            trie_scene(
                self.routes, way.until(count, self.routes), offered=self._offered,
                fresh=tuple(fresh), question=question,
            )
            for count in counts
        ]  # fmt: skip
        if self.guess is not None:
            answer = NO_ROUTE if way.answer is None else Question(way.answer).in_words(self.routes)
            change = self.guess.words(answer)
        size = counted(len(self.routes), "route"), counted(len(nodes_of(self.routes)), "node")
        words = [f"{change} The trie has {' and '.join(size)}.".strip()]
        if not self._is_asking:
            words.append(f"{scenes[-1].words.title}.")
        return Picture(tuple(scenes), tuple(words), tuple(self._controls()), moves)

    def _controls(self) -> list[Control]:
        if self.guess is not None and self._is_asking:
            none = [] if "" in self.routes else [Button("guess", "No route answers")]
            return [*none, *self.guess.controls(letters=0)]
        return [
            Written("written", "Address", self.address, len(self.address) + 2),
            Button("ask", "Ask me"),
            Button("again", "Start again"),
        ]
