"""The counters print as a table that leaves nothing out but zeros."""

from course_lib.ferry.north_pier_alone import ARRIVALS, north_pier
from course_lib.forwarding.counters import Counters


def busy_router():
    router = north_pier()
    router.stages.insert(3, lambda packet: 1 / 0 if packet.header.protocol == 99 else packet)
    for arrival in (*ARRIVALS.values(), *[ARRIVALS["plain"]] * 11):
        router.receive(0.0, *arrival)
    return router


def test_every_count_has_a_line_and_the_lines_add_up():
    """What is received and made is sent, taken, dropped, or waits for Gull Rock's address."""
    named = busy_router().counters.by_name()
    dropped = sum(number for name, number in named.items() if name.startswith("dropped: "))
    assert named["received"] + named["made"] == named["sent"] + named["taken"] + dropped + 1
    assert named["task: cut into fragments"] == 2
    assert named["error sent: type 11, code 0"] == 1


def test_the_table_shows_all_counts_and_the_share():
    counters = busy_router().counters
    *rows, share = str(counters).splitlines()
    assert [row.rsplit(maxsplit=1) for row in rows] == [
        [name, f"{number:,}"] for name, number in counters.by_name().items()
    ]
    assert share == "fast-path share 65.00 %: 7 of 20 received packets left it"
    assert counters.fast_path_share == 0.65


def test_a_router_that_has_seen_nothing_prints_the_share_alone():
    assert str(Counters()) == "fast-path share 100.00 %: 0 of 0 received packets left it"


def test_counters_of_zero_are_left_out():
    assert Counters().by_name() == {}
    assert Counters(sent=3, taken=0).by_name() == {"sent": 3}
