"""`join_room`, as a workbook calls it, and piers that run: simulated and between kernels."""

import sys

import pytest

from course_lib.joining import join_room
from course_lib.joining.joining import NoRoom
from course_lib.joining.piers.live_pier import LivePier
from course_lib.joining.piers.simulated_pier import SimulatedPier
from course_lib.links import CodeError, new_code
from course_lib.live.ability import Ability, live_ability
from instructor.joined_room.screen.screen_wishes import Wish
from machines.processes import until
from networks.running_room import CODE, SECRET, RunningRoom

NOT_LIVE = Ability(False, "a step", "a reason", "advice")


@pytest.fixture
def room(tmp_path):
    room = RunningRoom(tmp_path / "room.json", piers=3)
    yield room
    room.kill()


def test_without_a_code_nothing_is_opened_and_what_is_wrong_is_said(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert "no room" in repr(join_room("  ", ability=NOT_LIVE))
    with pytest.raises(CodeError, match="18 letters"):
        join_room("ABC", "192.0.2.10:8817", ability=NOT_LIVE)
    for at in ("", "192.0.2.10", "quay.example:8817", "192.0.2.10:0", "192.0.2.10:99999"):
        with pytest.raises(ValueError, match="an address and a port"):
            join_room(new_code(), at, ability=NOT_LIVE)
    nobody = join_room(new_code(), "127.0.0.1:9", ability=NOT_LIVE)  # RFC 863; nobody listens
    assert isinstance(nobody, NoRoom)
    assert "not reached" in nobody.words


def test_it_shows_a_panel_until_one_leaves_and_the_pier_is_the_same_again(
    room, tmp_path, monkeypatch
):
    monkeypatch.chdir(tmp_path)
    panel = join_room(CODE.lower(), f"127.0.0.1:{room.port}", ability=NOT_LIVE)
    until(lambda: "Routes:" in panel.children[1].value)
    assert "You are at North Pier" in panel.children[0].value
    assert (tmp_path / "room-id.txt").stat().st_mode & 0o077 == 0 or sys.platform == "win32"
    assert room.states() == ["here", "awaited", "awaited"]
    panel.leave()
    assert "You have left the room" in panel.children[0].value
    assert panel.children[2].disabled
    until(lambda: room.states() == ["gone", "awaited", "awaited"])
    panel.close()


def test_packets_cross_routers_of_both_kinds_and_a_pulled_link_is_gone_around(room):
    kinds = [LivePier, SimulatedPier, SimulatedPier]
    if not live_ability().is_there:
        kinds[0] = SimulatedPier
    members = []
    try:
        for number, kind in enumerate(kinds):
            members.append(room.member(f"{number}", pier=kind(SECRET)))
            members[-1].first.result(120)
        view = lambda: room.call(room.server.view)  # noqa: E731
        until(lambda: all(link.state == "up" for link in view().links))
        blocks = len(kinds) + len(view().links)
        until(lambda: all(member.standing.report and len(member.standing.report.routes) == blocks
                          for member in members))  # fmt: skip
        ends = {"source": "North Pier", "destination": "Lantern Pier"}
        room.call(room.server.wish, Wish("stream", **ends))
        until(lambda: view().stream.received > 30)
        direct = next(one.number for one in view().links if {*one.ends} == {*ends.values()})
        room.call(room.server.wish, Wish("pull", link=direct))
        until(lambda: view().stream.back_after_s)
        until(lambda: view().stream.path == ("North Pier", "Reed Pier", "Lantern Pier"))
        room.call(room.server.wish, Wish("follow", **ends))
        until(lambda: len(view().story.steps) == 3)
        lives = [bytes.fromhex(step.octets_hex)[14 + 8] for step in view().story.steps]
        assert lives == [63, 62, 61]  # RFC 1812, section 5.3.1; 64 at first: RFC 1700, page 64
        between = next(one for one in members if one.standing.placed.pier == "Reed Pier")
        until(lambda: between.standing.report.forwarded > 30)
    finally:
        for member in members:
            member.close()
