"""A room and its members, over real sealed WebSockets on loopback; piers are stand-ins."""

import asyncio
import contextlib
import ipaddress
import json
import re
import socket

import pytest
from tornado.httpclient import HTTPClientError, HTTPRequest
from tornado.websocket import WebSocketClosedError, websocket_connect

from course_lib.exercises.progress import record
from course_lib.exercises.registry import all_exercises
from course_lib.exercises.verdict import Outcome
from course_lib.joining import messages as said
from course_lib.joining.room_talk import LostRoomError, WrongCodeError
from course_lib.joining.shared_progress import SharedProgress
from course_lib.links import new_code, room_secret
from instructor.joined_room.board_files import BoardFiles
from instructor.joined_room.kept_state import read_room_file
from instructor.room.progress_files import read_room
from machines.open_sockets import sockets_at
from machines.processes import until
from networks.running_room import RunningRoom


@pytest.fixture
def room(tmp_path):
    room = RunningRoom(tmp_path / "room.json")
    yield room
    room.kill()


@pytest.fixture
def members():
    joined = []
    yield joined
    for member in joined:
        member.close()
        assert member._pier.is_closed.is_set()


def test_members_join_hear_of_each_other_leave_and_are_told_when_it_is_over(room, members):
    first, second = (room.member(name) for name in ("a", "b"))
    members += [first, second]
    assert first.first.result().pier != second.first.result().pier
    number = next(line.number for line in first.first.result().lines
                  if line.neighbour == second.first.result().pier)  # fmt: skip
    until(lambda: all(one._pier.lines.get(number) and one._pier.lines[number].addresses
                      for one in (first, second)))  # fmt: skip
    assert first._pier.lines[number].addresses == (("127.0.0.1", 5000 + number),)
    until(lambda: room.call(room.server.view).links[number].state == "up")  # both have reported
    second.close()
    until(lambda: first._pier.lines[number].addresses == ())
    assert sorted(room.states()[:2]) == ["gone", "here"]
    room.call(room.server.close)
    until(lambda: first.standing.is_over)
    assert "is over" in first.standing.words
    assert first._pier.is_closed.wait()
    assert not room._path.exists()  # it ends with the day


def test_the_room_is_killed_and_started_again_and_nobody_loses_a_neighbour(room, members):
    members += [room.member(name) for name in "abc"]
    piers = [member.first.result().pier for member in members]
    until(lambda: all(len([x for x in m._pier.lines.values() if x.addresses]) == 2
                      for m in members))  # fmt: skip
    before = [dict(member._pier.lines) for member in members]
    until(lambda: room._path.exists() and len(read_room_file(room._path).state.given) == 3)
    text = room._path.read_text()
    assert "127." not in text
    assert room._path.stat().st_mode & 0o077 == 0
    room.kill()
    until(lambda: not any(member.standing.is_on_line for member in members))
    assert "links go on" in members[0].standing.words
    again = RunningRoom(room._path, room.port, read_room_file(room._path))
    try:
        until(lambda: again.states() == ["here"] * 3 + ["awaited"] * 3)
        assert [member.standing.placed.pier for member in members] == piers
        until(lambda: all(member.standing.report and member.standing.is_on_line
                          for member in members))  # fmt: skip
        assert [dict(member._pier.lines) for member in members] == before
        assert not any(member._pier.is_closed.is_set() for member in members)
    finally:
        again.kill()


def test_the_same_student_twice_and_a_wrong_code(room, members):
    early = room.member("a")
    members.append(early)
    pier = early.first.result().pier
    members.append(room.member("a"))
    assert members[1].first.result().pier == pier
    until(lambda: early.standing.is_over)
    assert "elsewhere" in early.standing.words
    assert early._pier.is_closed.wait()
    stranger = room.member("b", room_secret(new_code()))
    with pytest.raises(WrongCodeError, match="another code"):
        stranger.first.result()
    assert room.states() == ["here", *["awaited"] * 5]
    stranger.close()


def test_nobody_from_elsewhere_comes_in_and_what_is_no_talk_is_shut_out(tmp_path, room, members):
    narrow = RunningRoom(tmp_path / "narrow.json", network=ipaddress.ip_network("192.0.2.0/24"))
    try:
        with pytest.raises(LostRoomError, match="403"):
            narrow.member("a").first.result()
    finally:
        narrow.kill()

    async def codes():
        """Say odd things at the door; return with which code it was shut."""
        found = []
        for odd in (b"", b"x" * 32, b"x" * 1000, "text"):
            line = await websocket_connect(f"ws://127.0.0.1:{room.port}/member")
            with contextlib.suppress(WebSocketClosedError):  # it may be shut at the first
                for each in (odd, b"y" * 100):
                    await line.write_message(each, binary=isinstance(each, bytes))
            while await line.read_message() is not None:
                pass
            found.append(line.close_code)
            line.close()
        page = HTTPRequest(f"ws://127.0.0.1:{room.port}/member",
                           headers={"Origin": "http://example.com"})  # fmt: skip
        with pytest.raises(HTTPClientError, match="403"):
            await websocket_connect(page)
        return found

    assert asyncio.run(codes()) == [4001] * 4
    assert room.states() == ["awaited"] * 6
    members.append(room.member("a"))  # and the door is open for whoever has the code
    assert members[0].first.result()


def test_who_stands_in_the_doorway_is_let_go_too_when_the_room_ends(room):
    with socket.create_connection(("127.0.0.1", room.port)) as line:
        line.sendall(b"GET /member HTTP/1.1\r\n")
        until(lambda: any(server._connections for _, server in room.server._servers))
        room.kill()
        line.settimeout(60)  # only a room that holds on to it waits that long
        assert line.recv(1) == b""


def test_neither_side_leaves_a_socket_behind_however_a_talk_ends(room, members):
    members += [room.member(name) for name in "ab"]
    for member in members:
        member.first.result(60)
    members[0].close()
    assert sockets_at(room.port)
    room.kill()
    members[1].close()
    assert sockets_at(room.port) == []


def test_the_screen_sees_the_room_and_wishes_reach_members(room, members):
    members += [room.member(name) for name in "ab"]
    for member in members:
        member.first.result()

    async def look():
        at = f"127.0.0.1:{room.screen_port}"
        page = HTTPRequest(f"ws://{at}/screen/updates", headers={"Origin": f"http://{at}"})
        line = await websocket_connect(page)
        view = json.loads(await line.read_message())
        piers = [one["pier"] for one in view["members"] if one["state"] == "here"]
        for wish in ({"wish": "pull", "link": 0},
                     {"wish": "stream", "source": piers[0], "destination": piers[1]}):  # fmt: skip
            await line.write_message(json.dumps(wish))
        while not (view.get("stream") and view["links"][0]["state"] == "pulled"):
            view = json.loads(await line.read_message())
            assert "refused" not in view
        line.close()
        while await line.read_message() is not None:
            pass  # until the other side has closed too
        return view

    view = asyncio.run(look())
    assert view["room"] == "Quay"
    first, second = (
        next(one for one in members if one.standing.placed.pier == view["stream"][end])
        for end in ("source", "destination")
    )
    kinds = lambda one: [type(wish).__name__ for wish in one._pier.wishes]  # noqa: E731
    until(lambda: kinds(second) == ["AwaitStream"])
    second.tell(said.Arrived(second._pier.wishes[0].stream, (), 0.0))
    until(lambda: kinds(first) == ["SendStream"])
    until(lambda: all(one._pier.lines[0].is_pulled for one in members))


def test_who_shares_progress_is_counted_on_the_board_and_nobody_else(tmp_path, members):
    item = next(one for one in all_exercises() if one.id == "2.1")
    folder, kept = tmp_path / "board", tmp_path / "progress.json"
    folder.mkdir()
    room = RunningRoom(tmp_path / "room.json", board=BoardFiles(folder))
    try:
        members += [room.member("a" * 32, progress=SharedProgress(kept)), room.member("b" * 32)]
        for member in members:
            member.first.result()
        for points, outcome in ((0.0, Outcome.WRONG), (item.points, Outcome.RIGHT)):
            record(kept, "2.1", points=points, outcome=outcome.value)
            until(lambda points=points: [one["2.1"].best for one in told(folder)] == [points])
        (file,) = folder.iterdir()
        assert file.name.startswith("pier-")
        assert not re.search('a{32}|hints|"at"', file.read_text())
        room.call(room.server.close)
        assert [*folder.iterdir()] == []
    finally:
        room.kill()


def told(folder):
    return [one for one in read_room(folder).everybody if "2.1" in one]
