"""When a neighbour counts, and when it no longer does."""

import re

import pytest

from course_lib.routing.neighbour_discovery import (
    Hello,
    NeighbourDiscovery,
    NeighbourState,
    Timers,
)


def plover() -> NeighbourDiscovery:
    discovery = NeighbourDiscovery("Plover", ["east", "west"])
    discovery.tick(0)
    return discovery


def hello(*heard: str, sender: str = "Curlew", timers: Timers | None = None) -> Hello:
    return Hello(sender, timers or Timers(), heard)


def test_a_hello_goes_out_on_every_link_every_10_s():
    discovery = NeighbourDiscovery("Plover", ["east", "west"])
    assert [out.link for out in discovery.tick(0)] == ["east", "west"]
    assert discovery.tick(9.9) == []
    assert discovery.next_tick_s() == 10
    assert [out.link for out in discovery.tick(10)] == ["east", "west"]


@pytest.mark.parametrize(
    ("heard", "state"),
    [
        pytest.param((), NeighbourState.INIT, id="it has heard nobody"),
        pytest.param(("Sandpiper",), NeighbourState.INIT, id="it has heard somebody else"),
        pytest.param(("Plover",), NeighbourState.TWO_WAY, id="it has heard us"),
    ],
)
def test_a_neighbour_counts_only_if_it_has_heard_us(heard, state):
    """RFC 2328, section 10.5."""
    discovery = plover()
    assert discovery.receive(1, hello(*heard), "east") is None
    assert discovery.state("east") is state
    assert discovery.state("west") is NeighbourState.DOWN


def test_our_hello_lists_whom_we_heard_on_that_link_only():
    discovery = plover()
    discovery.receive(1, hello(), "east")
    east, west = discovery.tick(10)
    assert (east.message.heard, west.message.heard) == (("Curlew",), ())


def test_a_neighbour_that_no_longer_hears_us_is_taken_back():
    discovery = plover()
    discovery.receive(1, hello("Plover"), "east")
    assert discovery.two_way() == {"east": "Curlew"}
    discovery.receive(2, hello(), "east")
    assert discovery.two_way() == {}


def test_silence_for_40_s_ends_it():
    discovery = plover()
    discovery.receive(1, hello("Plover"), "east")
    discovery.tick(40.9)
    assert discovery.two_way() == {"east": "Curlew"}
    discovery.tick(41)
    assert discovery.state("east") is NeighbourState.DOWN


def test_every_hello_starts_the_40_s_anew():
    discovery = plover()
    for now_s in range(1, 300, 39):
        discovery.receive(now_s, hello("Plover"), "east")
        discovery.tick(now_s + 38.9)
        assert discovery.two_way() == {"east": "Curlew"}


def test_another_router_at_the_far_end_takes_the_place_of_the_first():
    discovery = plover()
    discovery.receive(1, hello("Plover"), "east")
    discovery.receive(2, hello("Plover", sender="Sandpiper"), "east")
    assert discovery.two_way() == {"east": "Sandpiper"}


@pytest.mark.parametrize(
    ("bad", "problem"),
    [
        (hello("Plover", sender="Plover"), "leads back to this router"),
        (hello("Plover", timers=Timers(5, 40)), "hello_interval_s=5.*but we use.*=10"),
        (hello("Plover", timers=Timers(10, 50)), "dead_interval_s=50"),
        (Hello(3, Timers(), ()), "malformed hello"),
        (Hello("Curlew", Timers(), "Plover"), "malformed hello"),
    ],
)
def test_a_bad_hello_changes_nothing(bad, problem):
    """RFC 2328, section 10.5: the intervals have to agree."""
    discovery = plover()
    discovery.receive(1, hello("Plover"), "east")
    assert re.search(problem, discovery.receive(35, bad, "east"))
    discovery.tick(41)
    assert discovery.two_way() == {}


@pytest.mark.parametrize("timers", [Timers(0, 40), Timers(10, 10), Timers(-1, 5)])
def test_intervals_that_cannot_work_are_refused(timers):
    with pytest.raises(ValueError, match="hello interval"):
        NeighbourDiscovery("Plover", ["east"], timers)
