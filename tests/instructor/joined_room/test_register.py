"""The register of a room: messages and times in, messages out. No socket, no clock."""

import pytest

from course_lib.joining import messages as said
from instructor.joined_room.neighbours import room_plan
from instructor.joined_room.register import Register, RoomError, RoomTerms
from instructor.joined_room.seats import ASLEEP_AFTER_S, GIVEN_AWAY_AFTER_S

TERMS = RoomTerms("Quay", "ABC-…", ends_at_s=7200.0)


def room_of(students, plan=("ring", 6), now_s=0.0):
    """Return a room in which these students have joined and said their ports; connections count."""
    register = Register(room_plan(*plan), TERMS)
    for connection, student in enumerate(students):
        arrive(register, now_s, connection, student)
    return register


def arrive(register, now_s, connection, student, port=5000):
    """Let a student join and say the ports; return what was told to whom."""
    address = f"192.0.2.{connection + 1}"
    told = register.came(now_s, connection, address, said.Join(student, "live"))
    lines = [each.number for one in told if isinstance(one.message, said.Placed)
             for each in one.message.lines]  # fmt: skip
    ports = said.Ports(tuple((number, port + number) for number in lines))
    return told + register.came(now_s, connection, address, ports)


def told_to(told, connection, kind):
    """Return the messages of a kind for a connection."""
    return [each.message for each in told
            if each.connection == connection and isinstance(each.message, kind)]  # fmt: skip


def states(register, now_s):
    return [member.state for member in register.view(now_s).members]


def report(plan, pier, up=(), routes=(), octets=0, frames_in=0, lost=0, **other):
    """Return a report; routes: blocks by the pier whose they are, to the pier that is sent to."""
    from course_lib.prefixes.text import format_address
    from instructor.joined_room.addresses import link_interface, pier_network

    lines = tuple(said.LineReport(n, n in up, 0, octets, frames_in, 0, lost)
                  for n in plan.links_of(pier))  # fmt: skip
    table = []
    for destination, to in routes:
        hop, interface = None, "to the host"
        if to is not None:
            number = plan.links.index((min(pier, to), max(pier, to)))
            far = link_interface(number, plan.links[number].index(to), "")
            hop, interface = format_address(far.address), "a line"
        table.append(said.RouteTold(str(pier_network(destination).block), hop, interface))
    fields = {"is_alive": True, "forwarded": 0, "astray": 0, "complaints": ()} | other
    return said.Report(lines=lines, routes=tuple(table), **fields)


def test_both_ends_of_a_line_hear_where_the_other_one_is_and_nobody_else():
    register = room_of(["a"])
    told = arrive(register, 1.0, 1, "b", port=6000)
    (placed,) = told_to(told, 1, said.Placed)
    assert (placed.pier, placed.ends_in_s, placed.way) == ("Reed Pier", 7199.0, "link state")
    assert placed.host.address == "10.100.2.2"
    lines = {line.number: line for each in told_to(told, 1, said.Lines) for line in each.lines}
    assert {line.neighbour for line in placed.lines if lines[line.number].addresses} == {
        "North Pier"
    }
    (first,) = [line for line in placed.lines if line.neighbour == "North Pier"]
    assert lines[first.number].addresses == (("192.0.2.1", 5000 + first.number),)
    (to_first,) = told_to(told, 0, said.Lines)
    assert to_first.lines == (
        said.LineTold(first.number, (("192.0.2.2", 6000 + first.number),), False),
    )
    assert {each.connection for each in told} == {0, 1}


def test_who_is_not_heard_is_asleep_and_wakes_at_the_same_pier_with_its_links():
    register = room_of(["a", "b"])
    register.disconnected(1)
    assert states(register, 1.0)[:3] == ["here", "asleep", "awaited"]
    told = arrive(register, 2.0, 2, "c")  # who joins meanwhile hears the sleeper's address
    (placed,) = told_to(told, 2, said.Placed)
    number = next(line.number for line in placed.lines if line.neighbour == "Reed Pier")
    lines = {line.number: line for each in told_to(told, 2, said.Lines) for line in each.lines}
    assert lines[number].addresses == (("192.0.2.2", 5000 + number),)
    assert states(register, ASLEEP_AFTER_S)[:3] == ["asleep", "asleep", "here"]  # closed its lid
    told = arrive(register, 700.0, 3, "b", port=7000)
    assert told_to(told, 3, said.Placed)[0].pier == "Reed Pier"
    assert not [each for each in told if isinstance(each.message, said.TakenOver)]
    assert told_to(told, 2, said.Lines)[0].lines[0].addresses == (("192.0.2.4", 7000 + number),)


def test_who_leaves_is_gone_and_the_pier_is_for_the_next():
    register = room_of(["a", "b", "c"])
    told = register.came(1.0, 1, "192.0.2.2", said.Leave())
    assert {line.addresses for each in told for line in each.message.lines} == {()}
    assert states(register, 1.0)[:3] == ["here", "gone", "here"]
    assert told_to(arrive(register, 2.0, 9, "d"), 9, said.Placed)[0].pier == "Reed Pier"


def test_the_later_of_two_has_the_pier_and_the_earlier_one_is_told():
    register = room_of(["a", "b"])
    told = arrive(register, 1.0, 2, "a")
    assert len(told_to(told, 0, said.TakenOver)) == 1
    assert told_to(told, 2, said.Placed)[0].pier == "North Pier"
    assert register.came(1.5, 0, "192.0.2.1", said.Leave())[0].message == said.Refused(
        "say who joins, before anything else"
    )
    register.disconnected(0)  # the earlier one goes, and takes nothing along
    assert states(register, 2.0)[:2] == ["here", "here"]


def test_one_too_many_is_refused_until_somebody_has_slept_long():
    register = room_of(["a", "b", "c"], ("tree", 3))
    (told,) = register.came(1.0, 3, "192.0.2.9", said.Join("d", "live"))
    assert "--piers" in told.message.why
    for connection in (0, 2):
        plain = report(register.plan, connection)
        register.came(GIVEN_AWAY_AFTER_S, connection, "192.0.2.1", plain)
    told = arrive(register, GIVEN_AWAY_AFTER_S + 1, 3, "d")
    assert told_to(told, 3, said.Placed)[0].pier == "Reed Pier"


def test_a_room_that_was_started_again_knows_whose_pier_is_whose_and_cuts_nobody_off():
    before = room_of(["a", "b"])
    before.set_pulled(0, is_pulled=True)
    register = Register(before.plan, TERMS, before.kept(), now_s=50.0)
    assert states(register, 50.0)[:3] == ["asleep", "asleep", "awaited"]
    told = register.came(51.0, 7, "192.0.2.2", said.Join("b", "live"))
    assert told_to(told, 7, said.Placed)[0].pier == "Reed Pier"
    lines = {line.number: line for line in told_to(told, 7, said.Lines)[0].lines}
    number = before.plan.links.index((0, 1))
    assert lines[number] == said.LineTold(number, None, True)  # unknown: what was told still holds
    assert register.view(51.0).links[number].state == "pulled"


def test_rates_losses_and_states_of_links_come_from_both_ends():
    register = room_of(["a", "b"], ("tree", 2))
    assert register.view(0.0).links[0].state == "down"
    for now_s, octets, frames, lost in ((1.0, 1000, 10, 0), (2.0, 26_000, 100, 10)):
        for pier in (0, 1):
            sent, came = (octets, frames) if pier == 0 else (0, frames)
            told = report(register.plan, pier, up=[0], octets=sent, frames_in=came,
                          lost=lost if pier == 1 else 0)  # fmt: skip
            register.came(now_s, pier, "192.0.2.1", told)
    link = register.view(2.5).links[0]
    assert (link.state, link.bits_per_s) == ("up", (200_000.0, 0.0))
    assert link.lost_share == (
        10 / 100,
        0.0,
    )  # 90 came and 10 did not, from the first to the second
    assert register.view(7.0).links[0].state == "down"  # nobody has said so for long


def with_tables(register, tables, seconds=30):
    """Let all piers report the same for so long: tables are (destination, to) by pier."""
    plan = register.plan
    for now_s in range(seconds):
        for pier, routes in tables.items():
            told = report(plan, pier, up=plan.links_of(pier), routes=routes)
            register.came(float(now_s), pier, "192.0.2.1", told)
    return register.view(seconds - 0.5)


def right_tables(plan, piers):
    """Return right tables by a library that the project has not written."""
    import networkx as nx

    graph = nx.Graph(ends for ends in plan.links if max(ends) < piers)
    return {
        pier: [(to, nx.shortest_path(graph, pier, to)[1] if to != pier else None)
               for to in range(piers)]
        for pier in range(piers)
    }  # fmt: skip


def faults(view):
    return {member.pier: member.faults for member in view.members if member.faults}


def test_right_tables_are_nobodys_fault():
    register = room_of("abcdef")
    assert faults(with_tables(register, right_tables(register.plan, 6))) == {}


def test_a_router_that_sends_packets_no_nearer_is_named_once_routes_have_settled():
    register = room_of("abcdefghi", ("tree", 9))
    tables = right_tables(register.plan, 9)
    tables[1] = [(to, hop if to in (1, 4, 5, 6) else 4) for to, hop in tables[1]]  # back down
    view = with_tables(register, tables)
    assert [*faults(view)] == [register.plan.places[1].pier]
    assert "no nearer" in faults(view)[register.plan.places[1].pier][0]
    early = with_tables(room_of("abcdefghi", ("tree", 9)), tables, seconds=5)
    assert faults(early) == {}


@pytest.mark.parametrize(("plan", "liar", "believers", "about"), [
    (("tree", 9), 1, (0,), 8),  # one believes it, and the liar has no way there
    (("ring", 9), 0, (1, 8, 3), 4),  # three believe it, and the liar tells us the truth
])  # fmt: skip
def test_a_router_that_lies_about_a_route_is_named_and_not_those_who_believe_it(
    plan, liar, believers, about
):
    register = room_of("abcdefghi", plan)
    tables = right_tables(register.plan, 9)
    for misled in believers:
        tables[misled] = [(to, liar if to == about else hop) for to, hop in tables[misled]]
    if len(believers) == 1:
        tables[liar] = [(to, hop) for to, hop in tables[liar] if to != about]
    assert [*faults(with_tables(register, tables))] == [register.plan.places[liar].pier]


def test_a_single_odd_entry_names_nobody_and_a_crash_is_said_in_its_own_words():
    register = room_of("abcdefghi", ("tree", 9))
    tables = right_tables(register.plan, 9)
    tables[1] = [(to, 4 if to == 8 else hop) for to, hop in tables[1]]
    assert faults(with_tables(register, tables)) == {}
    told = report(register.plan, 2, is_alive=False, complaints=("receive raised\n KeyError: 7",))
    register.came(31.0, 2, "192.0.2.1", told)
    ended = faults(register.view(31.0))
    assert ended == {"Lantern Pier": ("its router has ended", "receive raised KeyError: 7")}


def test_a_router_that_does_not_as_its_table_says_is_named():
    register = room_of(["a", "b"])
    for astray, words in ((3, ()), (40, ("40 packets left by another line than its table says",))):
        register.came(1.0, 1, "192.0.2.2", report(register.plan, 1, astray=astray))
        assert faults(register.view(1.0)).get("Reed Pier", ()) == words


def test_a_stream_is_watched_by_its_numbers_and_a_stall_is_told_when_it_is_over():
    register = room_of("abcdef")
    with_tables(register, right_tables(register.plan, 6), seconds=1)
    told = register.begin_stream(1.0, "North Pier", "Gull Pier")
    (wait,) = told_to(told, 3, said.AwaitStream)
    assert not told_to(told, 0, said.SendStream)
    listens = said.Arrived(wait.stream, (), 0.0)
    told = register.came(1.1, 3, "192.0.2.4", listens)
    (send,) = told_to(told, 0, said.SendStream)
    assert (send.destination, send.stream) == ("10.100.4.2", wait.stream)
    assert register.came(1.2, 3, "192.0.2.4", listens) == []  # it is sent once
    assert 1 / send.interval_s == pytest.approx(150)
    clock_s = 5e6  # another machine's clock

    def arrived(now_s, numbers, quiet_s=0.0, late=()):
        delays = tuple((n, clock_s + (0.2 if n in late else 0.01)) for n in numbers)
        register.came(now_s, 3, "192.0.2.4", said.Arrived(send.stream, delays, quiet_s))
        return register.view(now_s).stream

    view = arrived(2.0, range(1, 151), late={140})
    assert (view.received, view.late, view.lost, view.quiet_s) == (150, 1, 0, None)
    assert (view.strip.count("played"), view.strip.count("late")) == (149, 1)
    assert (view.path[0], view.path[-1]) == ("North Pier", "Gull Pier")
    view = arrived(4.0, (), quiet_s=2.0)
    assert view.quiet_s == pytest.approx(2.0)
    assert view.back_after_s is None
    assert view.lost == pytest.approx(150, abs=2)  # sent more than a second ago
    view = arrived(5.0, range(586, 601))
    assert view.back_after_s == pytest.approx(436 / 150)
    assert view.quiet_s is None
    assert (view.received, view.lost) == (165, 435)
    assert [each.message for each in register.end_stream()] == [said.EndStream(send.stream)] * 2
    assert register.view(5.0).stream is None


def test_a_packet_is_followed_in_the_order_of_its_way():
    register = room_of("abcdef")
    told = register.follow(1.0, "North Pier", "Gull Pier")
    (echo,) = told_to(told, 0, said.SendEchoes)
    assert len([each for each in told if isinstance(each.message, said.FollowPackets)]) == 6
    way = ("North Pier", "Reed Pier", "Gull Pier")

    def says(pier, packet, outcome, towards="", why="", came=64, left=None):
        number = [*register._names].index(pier)
        passed = said.Passed(echo.story, packet, outcome, towards, why, came, left, "45")
        register.came(2.0, number, "192.0.2.1", passed)

    def steps(now_s=2.0):
        return [(step.pier, step.verdict) for step in register.view(now_s).story.steps]

    # The first echo request is held, and what is told meanwhile is what is known.
    says("North Pier", 1, said.HELD, why="it asks who has 10.101.0.1")
    assert steps() == [("North Pier", "not sent on as yet: it asks who has 10.101.0.1")]
    # Of the second all is known in the end; the words come in any order.
    says("Gull Pier", 2, said.DELIVERED, came=62, left=61)
    says("Reed Pier", 2, said.FORWARDED, "Gull Pier", came=63, left=62)
    says("North Pier", 2, said.FORWARDED, "Reed Pier", left=63)
    says("Reed Pier", 2, said.DISCARDED, why="no route", came=63)  # only the first word counts
    says("Gull Pier", 1, "explained away", came=62)  # no word of the room's
    verdicts = ["forwarded to Reed Pier", "forwarded to Gull Pier",
                "delivered to the host at this pier"]  # fmt: skip
    assert steps() == [*zip(way, verdicts, strict=True)]
    says("North Pier", 3, said.FORWARDED, "Reed Pier", left=63)
    says("Reed Pier", 3, said.FORWARDED, "North Pier", "back by the line that it came by", 63, 63)
    says("North Pier", 3, said.FORWARDED, "Reed Pier", came=63, left=62)
    says("Reed Pier", 3, said.FORWARDED, "North Pier", came=62, left=61)
    assert len(steps()) == 3  # and it stays: it is known from end to end
    assert steps(9.0) == steps()


def test_of_a_packet_that_goes_astray_all_is_told_that_is_known():
    register = room_of("abcdef")
    story = told_to(register.follow(1.0, "North Pier", "Gull Pier"), 0, said.SendEchoes)[0].story
    north, reed = ([*register._names].index(name) for name in ("North Pier", "Reed Pier"))

    def steps(now_s):
        return [step.verdict for step in register.view(now_s).story.steps]

    assert (steps(2.0), len(steps(5.0))) == ([], 1)  # then its own router is silent
    for pier, towards, came, left in (
        (north, "Reed Pier", 64, 63),
        (reed, "North Pier", 63, 63),
        (north, "Reed Pier", 63, 62),
    ):
        passed = said.Passed(story, 1, said.FORWARDED, towards, "", came, left, "45")
        register.came(2.0, pier, "192.0.2.1", passed)
    north_first, reed_then, north_again = steps(2.0)
    assert north_first == north_again == "forwarded to Reed Pier"
    assert reed_then == "forwarded to North Pier: its time to live is not one lower"
    register.follow(10.0, "North Pier", "Gull Pier")
    passed = said.Passed(story + 1, 1, said.FORWARDED, "Gull Pier", "", 64, 63, "45")
    register.came(11.0, north, "192.0.2.1", passed)
    assert len(steps(12.0)) == 1
    assert register.view(14.0).story.steps[1].pier == "Gull Pier"
    assert "nothing is heard of it" in steps(14.0)[1]


@pytest.mark.parametrize(
    ("wish", "words"),
    [
        (lambda room: room.set_pulled(99, is_pulled=True), "no link 99"),
        (
            lambda room: room.begin_stream(0.0, "North Pier", "Heron Pier"),
            "nobody is at Heron Pier",
        ),
        (lambda room: room.follow(0.0, "Nowhere", "North Pier"), "nobody is at Nowhere"),
    ],
)
def test_what_cannot_be_is_said(wish, words):
    with pytest.raises(RoomError, match=words):
        wish(room_of(["a"]))


def test_what_is_kept_of_a_member_does_not_grow_with_the_room_or_the_hour():
    import sys

    def size(register):
        """Return the octets of all that the register holds on, shared values counted once."""
        seen, waiting, octets = set(), [vars(register)], 0
        while waiting:
            one = waiting.pop()
            if id(one) in seen:
                continue
            seen.add(id(one))
            octets += sys.getsizeof(one)
            if isinstance(one, dict):
                waiting += [*one.keys(), *one.values()]
            elif isinstance(one, list | tuple | set | frozenset):
                waiting += one
            elif hasattr(one, "__dict__"):
                waiting.append(vars(one))
        return octets

    def one_member(piers, seconds):
        register = room_of([f"student {n}" for n in range(piers)], ("ring", piers))
        tables = {pier: [] for pier in range(piers)}
        with_tables(register, tables, seconds=seconds)
        return size(register) / piers

    assert one_member(60, 2) < 2 * one_member(10, 2)
    assert one_member(10, 40) < 1.1 * one_member(10, 2)
