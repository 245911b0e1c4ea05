"""Who may open the screen, what it may wish, and that it brings all that it needs."""

import asyncio
import http.client
import json
import re

import pytest
from tornado.httpclient import HTTPRequest
from tornado.websocket import websocket_connect

from instructor.joined_room.screen.screen_server import ADDRESS, PAGE
from instructor.joined_room.screen.screen_wishes import Wish

SVG = "http://www.w3.org/2000/svg"  # the name of a language, and never fetched
PLACES = (ADDRESS, f"{ADDRESS}/screen.js", f"{ADDRESS}/colours.css")


def asked(screen, path, **headers):
    """Return the answer to a request of this machine's with these headers, and its octets."""
    line = http.client.HTTPConnection(screen.address)
    line.request("GET", path, headers=headers)
    answer = line.getresponse()
    answer.octets = answer.read()
    line.close()
    return answer


def knocked(screen, **headers):
    """Return the answer to a request to open the WebSocket; a header of None is left out."""
    key = {"Connection": "Upgrade", "Upgrade": "websocket", "Sec-WebSocket-Version": "13",
           "Sec-WebSocket-Key": "dGhlIHNhbXBsZSBub25jZQ=="}  # fmt: skip  # RFC 6455, section 1.2
    told = {**key, "Origin": f"http://{screen.address}", **headers}
    return asked(screen, f"{ADDRESS}/updates", **{one: told[one] for one in told if told[one]})


def talked(screen, *messages):
    """Open the WebSocket as the page does, say all that, and return what came until the last."""

    async def talk():
        origin = {"Origin": f"http://{screen.address}"}
        request = HTTPRequest(f"ws://{screen.address}{ADDRESS}/updates", headers=origin)
        line = await websocket_connect(request)
        heard = [json.loads(await line.read_message())]
        for said, message in enumerate(messages, start=1):
            await line.write_message(message, binary=isinstance(message, bytes))
            while "refused" not in heard[-1] and len(screen.wishes) < said:
                heard.append(json.loads(await line.read_message()))
        line.close()
        while await line.read_message() is not None:
            pass  # until the other side has closed too
        return heard

    screen.wishes.clear()
    return asyncio.run(talk())


@pytest.mark.parametrize(
    "headers",
    [
        pytest.param({"Host": "stranger.example.com"}, id="a name that leads here"),
        pytest.param({"X-Real-Ip": "192.0.2.7"}, id="another machine of the room"),
        pytest.param({"X-Real-Ip": "::ffff:192.0.2.7"}, id="the same, written as IPv6"),
    ],
)
def test_nobody_but_this_machine_sees_anything(screen, headers):
    for path in PLACES:
        answer = asked(screen, path, **headers)
        assert (answer.status, b"own machine" in answer.octets) == (403, True)
    assert knocked(screen, **headers).status == 403


@pytest.mark.parametrize("origin", [None, "http://stranger.example.com", "http://127.0.0.1:1"])
def test_only_the_page_itself_opens_the_line(screen, origin):
    assert knocked(screen, Origin=origin).status == 403


def test_views_go_out_and_wishes_come_back(screen):
    ends = {"source": "North Pier", "destination": "Gull Pier"}
    heard = talked(
        screen,
        '{"wish": "pull", "link": 3}',
        json.dumps({"wish": "stream", **ends}),
        json.dumps({"wish": "follow", **ends}),
        '{"wish": "stream", "source": null, "destination": null}',
    )
    assert heard[0] == json.loads(json.dumps(screen.shown.to_plain()))
    assert screen.wishes == [
        Wish("pull", link=3), Wish("stream", None, *ends.values()),
        Wish("follow", None, *ends.values()), Wish("stream"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("message", "why"),
    [
        ("{", "JSON"),
        (b"\xff", "JSON"),
        ("[]", "one of pull, mend, stream, follow"),
        ('{"wish": "end"}', "one of pull, mend, stream, follow"),
        ('{"wish": "pull", "link": 999}', "no link 999"),
        ('{"wish": "mend", "link": true}', "no link True"),
        ('{"wish": "stream", "source": "North Pier"}', "no pier None"),
        ('{"wish": "follow", "source": null, "destination": null}', "no pier None"),
        ('{"wish": "follow", "source": "North Pier", "destination": "North Pier"}', "differ"),
        (" " * 1001, "1000 octets"),
    ],
)
def test_a_wish_that_cannot_be_is_refused_in_words(screen, message, why):
    assert why in talked(screen, message)[-1]["refused"]
    assert screen.wishes == []


def test_the_page_asks_for_nothing_from_elsewhere(screen):
    page = asked(screen, ADDRESS)
    assert "default-src 'none'" in page.headers["Content-Security-Policy"]
    for path in PAGE.iterdir():
        text = path.read_text(encoding="utf-8").replace(SVG, "")
        assert re.findall(r"(?<!ws)://(?!\$)", text) == [], path.name
        if path.suffix != ".html":
            assert asked(screen, f"{ADDRESS}/{path.name}").octets == path.read_bytes()
    assert asked(screen, f"{ADDRESS}/nothing.js").status == 404
    assert asked(screen, f"{ADDRESS}/..%2Fscreen_server.py").status == 404
