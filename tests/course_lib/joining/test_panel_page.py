"""The panel under `join_room`: what a member sees of itself, in words and tables."""

from course_lib.joining.member import Standing
from course_lib.joining.messages import (
    InterfaceTold,
    LineReport,
    LineTold,
    Placed,
    PlacedLine,
    Report,
    RouteTold,
)
from course_lib.joining.panel_page import panel_page, routes_page


def interface(name):
    return InterfaceTold(name, "00005e005300", "10.101.0.0", "10.101.0.0/31", 1400)


NAMES = ("Reed Pier", "Gull Pier", "<b>", "Mill Pier")
PLACED = Placed(
    "North Pier", "link state", 60.0, 2e6, interface("to the host"), interface("wired"),
    tuple(PlacedLine(n, 0, interface(f"to {name}"), name, "10.101.0.1")
          for n, name in enumerate(NAMES)),
)  # fmt: skip
SOMEWHERE = (("192.0.2.8", 5000),)
TOLD = (
    LineTold(0, SOMEWHERE, False),
    LineTold(1, (), False),
    LineTold(2, SOMEWHERE, False),
    LineTold(3, SOMEWHERE, True),
)


def report(octets, forwarded, **more):
    lines = tuple(LineReport(n, n == 0, 1, octets, 1, 2 * octets, 3) for n in range(4))
    routes = (RouteTold("10.100.2.0/24", "10.101.0.1", "to Reed Pier"),
              RouteTold("10.100.1.0/24", None, "to the host"))  # fmt: skip
    return Report(more.pop("is_alive", True), forwarded, 0, lines, routes, **more)


def test_lines_routes_and_what_is_carried_are_told():
    latest = report(13_500, 1500, complaints=("it <failed>",))
    now = Standing("you are at North Pier", PLACED, latest, True, False, TOLD)
    page = panel_page(now, report(1000, 1400, complaints=()), 1.0) + routes_page(now)
    number = '<td class="number">'
    for words in (
        "You are at North Pier.",
        "About 1,500 packets of others",
        "100 of them in",
        f"<td>up</td>{number}100.0</td>{number}200.0</td>{number}3</td>",
        "down: nobody is there",
        "down: not heard",
        "pulled, at the front",
        "Routes: 2",
        "10.101.0.1",
        "<td>your host</td>",
        "it &lt;failed&gt;",
        "&lt;b&gt;",
    ):
        assert words in page, words
    assert "<b>" not in page
    assert page.count("<table") == 2
    assert 'scope="col"' in page


def test_before_there_is_a_pier_and_after_the_router_has_ended_it_says_so():
    alone = panel_page(Standing("on the way"))
    assert alone.endswith('<p role="status"><strong>On the way.</strong></p>')
    assert routes_page(Standing("on the way")) == ""
    ended = Standing("x", PLACED, report(0, 0, is_alive=False, complaints=()), True, False, TOLD)
    assert "Your router has ended" in panel_page(ended)


def test_who_has_carried_nothing_yet_reads_that():
    now = Standing("x", PLACED, report(0, 0, complaints=()), True, False, TOLD)
    assert "carried no packets of others yet" in panel_page(now)
