"""The stage itself: delays, cuts, order of events."""

from collections.abc import Mapping

import pytest

from course_lib.routing.message_exchange import MessageExchange, Wire, stage
from course_lib.routing.protocol import Outgoing, Route, link_between

PAIR = {"Plover": {"Curlew": 1}, "Curlew": {"Plover": 1}}


class Diary:
    """A router that says one word at given times and writes down what happens to it."""

    def __init__(self, links: Mapping[str, int], speak_at_s: list[float]) -> None:
        self.links = list(links)
        self.speak_at_s = speak_at_s
        self.entries: list[tuple[float, object]] = []

    def start(self, now_s: float) -> list[Outgoing]:
        self.entries.append((now_s, "start"))
        return []

    def receive(self, now_s: float, message: object, link: str) -> list[Outgoing]:
        self.entries.append((now_s, message))
        return []

    def tick(self, now_s: float) -> list[Outgoing]:
        self.speak_at_s = self.speak_at_s[1:]
        return [Outgoing(link, f"at {now_s:g}") for link in self.links]

    def next_tick_s(self) -> float:
        return min(self.speak_at_s, default=1e9)

    def link_down(self, now_s: float, link: str) -> list[Outgoing]:
        self.entries.append((now_s, "down"))
        return []

    def link_up(self, now_s: float, link: str) -> list[Outgoing]:
        self.entries.append((now_s, "up"))
        return []

    def routes(self) -> dict[str, Route]:
        return {}


def two(times_s: list[float], delay_s: float = 1.0, loss_rate: float = 0) -> MessageExchange[Diary]:
    exchange: MessageExchange[Diary] = stage(
        PAIR,
        lambda name, links: Diary(links, times_s if name == "Plover" else []),
        delay_s=delay_s,
        loss_rate=loss_rate,
    )
    exchange.start_all()
    return exchange


def diary(exchange: MessageExchange[Diary], name: str = "Curlew") -> list[tuple[float, object]]:
    return exchange.routers[name].entries


def test_a_message_takes_its_time():
    exchange = two([2, 5])
    exchange.run_until(5.5)
    assert diary(exchange) == [(0, "start"), (3, "at 2")]
    exchange.run_until(6)
    assert diary(exchange)[-1] == (6, "at 5")
    assert (exchange.now_s, exchange.messages_sent) == (6, 2)


def test_what_is_on_a_wire_when_it_is_cut_is_lost_even_if_it_is_mended_at_once():
    exchange = two([2, 4, 6])
    exchange.run_until(2.5)
    exchange.cut("Curlew - Plover")
    exchange.mend("Curlew - Plover")
    exchange.run_until(4.5)
    exchange.cut("Curlew - Plover", noticed=False)
    exchange.run_until(10)
    assert diary(exchange) == [(0, "start"), (2.5, "down"), (2.5, "up")]


def test_a_stopped_router_neither_hears_nor_speaks_and_its_neighbour_knows():
    exchange = two([2, 5, 8])
    exchange.run_until(3)
    exchange.stop("Plover")
    exchange.run_until(20)
    assert diary(exchange) == [(0, "start"), (3, "at 2"), (3, "down")]
    assert exchange.running() == ["Curlew"]


def test_a_router_can_be_started_again():
    exchange = two([])
    exchange.stop("Plover", noticed=False)
    exchange.run_until(7)
    exchange.start("Plover", Diary({"Curlew - Plover": 1}, [9]))
    exchange.run_until(10)
    assert diary(exchange) == [(0, "start"), (7, "up"), (10, "at 9")]
    assert diary(exchange, "Plover") == [(7, "start")]


def test_a_started_router_is_told_which_of_its_links_are_cut():
    exchange = two([])
    exchange.stop("Plover")
    exchange.cut("Curlew - Plover")
    exchange.start("Plover", Diary({"Curlew - Plover": 1}, []))
    assert diary(exchange, "Plover") == [(0, "start"), (0, "down")]


def test_at_the_same_time_messages_go_before_timers():
    heard_at_its_own_tick = []

    class Listener(Diary):
        def tick(self, now_s: float) -> list[Outgoing]:
            heard_at_its_own_tick.append(len(self.entries))
            return super().tick(now_s)

    exchange: MessageExchange[Diary] = stage(
        PAIR, lambda name, links: Listener(links, [1.0, 2.0]), delay_s=1.0
    )
    exchange.start_all()
    exchange.run_until(2)
    assert heard_at_its_own_tick == [1, 1, 2, 2]


def test_about_the_right_share_of_messages_is_lost():
    """A binomial count: 1000 messages, 0.3 lost; four standard deviations are 58."""
    exchange = two([float(t) for t in range(1, 1001)], loss_rate=0.3)
    exchange.run_until(2000)
    assert abs(len(diary(exchange)) - 1 - 700) < 58


def test_a_timer_that_is_always_due_is_found_out():
    exchange = two([])

    class Restless(Diary):
        def next_tick_s(self) -> float:
            return 3.0

    exchange.stop("Plover")
    exchange.start("Plover", Restless({}, []))
    with pytest.raises(RuntimeError, match=r"no end of events at 3.0 s"):
        exchange.run_until(4)


def test_two_wires_cannot_share_a_name():
    routers = {"Plover": Diary({}, []), "Curlew": Diary({}, [])}
    with pytest.raises(ValueError, match="two wires 'reef'"):
        MessageExchange(routers, [Wire("reef", ("Plover", "Curlew"))] * 2)


def test_only_a_wire_that_exists_can_be_cut_or_mended():
    exchange = two([])
    with pytest.raises(ValueError, match=r"no wire 'reef', only \['Curlew - Plover'\]"):
        exchange.cut("reef")
    with pytest.raises(ValueError, match="no wire 'reef'"):
        exchange.mend("reef")


def test_time_does_not_go_back():
    exchange = two([])
    exchange.run_until(5)
    with pytest.raises(ValueError, match="it is 5 s already"):
        exchange.run_until(4.9)
    assert exchange.now_s == 5


@pytest.mark.parametrize(
    ("wire", "message"),
    [
        (Wire("loop", ("Plover", "Plover")), "wire 'loop' joins 'Plover' to itself"),
        (Wire("reef", ("Plover", "Gull Rock")), "ends at 'Gull Rock', which is no router here"),
    ],
)
def test_a_wire_that_cannot_be_is_refused(wire, message):
    with pytest.raises(ValueError, match=message):
        MessageExchange({"Plover": Diary({}, [])}, [wire])


@pytest.mark.parametrize(
    ("graph", "message"),
    [
        ({"Plover": {"Plover": 1}}, "'Plover' has a link to itself"),
        ({"Plover": {"Curlew": 1}, "Curlew": {}}, "'Plover' to 'Curlew' has no cost for the way"),
    ],
)
def test_a_graph_that_cannot_be_wired_is_refused(graph, message):
    with pytest.raises(ValueError, match=message):
        stage(graph, lambda name, links: Diary(links, []))


def test_both_ends_know_a_link_under_the_same_name():
    assert link_between("Reed Pier", "Plover") == link_between("Plover", "Reed Pier")
