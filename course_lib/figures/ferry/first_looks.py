"""The picture on a workbook's first screen: the one idea of its unit, on the water.

Each asks what the unit answers, and gives no answer away.
"""

__all__ = ["FIRST_LOOKS"]

from collections.abc import Callable, Mapping
from itertools import pairwise

from course_lib.figures.drawing.letters import width_of
from course_lib.figures.drawing.svg import box, label, path
from course_lib.figures.ferry.harbour import (
    WATER,
    WIDTH,
    Picture,
    boat,
    gate,
    gull,
    lamp,
    moon,
    picture,
    pier,
    stars,
)

PACKET = bytes.fromhex("45000015 006f0000 7b01d922 c6336421 cb007101 41")  # as in the workbook
WORD = "0100000000010001"  # 4011, a word of the header in the workbook; one bit is turned over
TURNED = 9
ROUTES = ((24, 0, 256), (25, 0, 128), (27, 96, 32))  # length, first last octet, how many of them
ADDRESS = 100
NEXT_HOP, BOATS_ASKED = "192.0.2.9", ("Plover", "Curlew", "Sandpiper")
LETTER_FOR = 3_325_256_781  # 198.51.100.77 as a router sees it
PIER_NETS = (("North Pier", 0), ("Reed Pier", 32), ("Lantern Pier", 64), ("Gull Rock", 96))
STAGES = ("receive", "validate", "decide", "rewrite", "queue", "send")
PLACES, WAITING = 7, 4
_LINE, _FREE = 10, 2
_ROWS, _COLUMNS, _OVERBOARD = 4, 25, (0, 17)


SAID = (4, 3, 2, 1)  # how far Lantern Pier is, as each boat says


def frames_and_headers() -> Picture:
    """Draw a packet as cargo: one box for each octet."""
    left, size = 86, 28
    boxes = [
        box("cargo", left + place * size, WATER - 50, size - 3, 26, 3)
        + label(f"{octet:02x}", left + place * size + 12.5, WATER - 32, "ink mono", 13, "middle")
        for place, octet in enumerate(PACKET)
    ]
    return picture(
        "At night a long boat leaves Reed Pier for the boat Plover. Its cargo is a row of "
        f"{len(PACKET)} boxes, one for each octet of a packet: {PACKET.hex(' ')}.",
        f"{len(PACKET)} octets put to sea. Where is it written for whom they are?",
        boat(left - 18, len(PACKET) * size + 34, faces_left=True),
        label("Reed Pier to Plover", WIDTH / 2 + 4, WATER - 4, "on-hull", 13, "middle"),
        *boxes,
        path("line", f"M{left + 4} {WATER - 50}V{WATER - 92}"),
        lamp(left + 4, WATER - 96),
        moon(664, 44),
        stars((214, 34), (322, 62), (428, 28), (556, 58), (720, 84)),
    )


def checksums() -> Picture:
    """Draw one word of a header before and behind a gull on the cable."""
    arrived = [bit if place != TURNED else "10"[int(bit)] for place, bit in enumerate(WORD)]
    cable = f"M96 {WATER - 66}Q{WIDTH / 2} {WATER + 8} {WIDTH - 96} {WATER - 66}"
    return picture(
        "A cable hangs between Reed Pier and North Pier, and a gull sits on it. On the left stand "
        f"the 16 bits of one word as they were sent, {WORD}; on the right as they arrived, "
        f"{''.join(arrived)}: one of them has been turned over.",
        "16 bits were sent, 16 have arrived. How does a router notice?",
        pier(30, 110, "Reed Pier", 96),
        pier(WIDTH - 140, 110, "North Pier", WIDTH - 96),
        path("line", cable),
        gull(WIDTH / 2, WATER - 29),
        _bits(40, "sent", WORD),
        _bits(WIDTH - 40 - 16 * 18, "arrived", "".join(arrived), TURNED),
    )


def addresses_and_prefixes() -> Picture:
    """Draw the four piers' prefixes along the shore, and a letter with one number on it."""
    left, step = 28, 142
    piers = [
        pier(left + place * step, 112, name, left + place * step + 22)
        + label(
            f"198.51.100.{first}/27", left + place * step + 56, WATER - 84, "quiet", 13, "middle"
        )
        for place, (name, first) in enumerate(PIER_NETS)
    ]
    return picture(
        "Four piers stand side by side, each with a prefix over it: North Pier 198.51.100.0/27, "
        "Reed Pier 198.51.100.32/27, Lantern Pier 198.51.100.64/27 and Gull Rock "
        "198.51.100.96/27. From the right a boat comes in; it carries a box with the number "
        f"{LETTER_FOR:,}.",
        "The box says one number. At which pier does it belong?",
        *piers,
        boat(604, 132, faces_left=True),
        box("cargo", 614, WATER - 50, 112, 26, 3),
        label(f"{LETTER_FOR:,}", 670, WATER - 32, "ink mono", 13, "middle"),
        moon(690, 40),
    )


def longest_prefix_match() -> Picture:
    """Draw routes as bands over the addresses that they cover, and a boat at one of these."""
    left, scale = 58, 2.5
    bands = []
    for number, (length, first, count) in enumerate(ROUTES):
        x, y, width = left + first * scale, WATER - 130 + number * 32, count * scale
        name = f"203.0.113.{first}/{length}"
        bands.append(box("band", x, y, width, 22, 3))
        if width_of(name, 13, "strong") + 16 < width:
            bands.append(label(name, x + 8, y + 15.5, "on-band", 13))
        else:
            bands.append(label(name, x + width + 8, y + 15.5, "ink", 13))
    x = left + (ADDRESS + 0.5) * scale
    return picture(
        "A boat lies on the water at the address 203.0.113.100. Above it three routes are drawn "
        "as bands, each as wide as the addresses it covers: 203.0.113.0/24, 203.0.113.0/25 and "
        "203.0.113.96/27. All three lie over the boat.",
        "Three routes know this boat. Which of them says most about it?",
        *bands,
        path("plumb", f"M{x} {WATER - 136}V{WATER - 24}"),
        boat(x - 66, 132, "203.0.113.100", faces_left=True),
    )


def neighbours_and_errors() -> Picture:
    """Draw a pier with cargo for a boat, and three boats of which one is meant."""
    left, step = 250, 165
    boats = [
        boat(left + place * step, 116, name, faces_left=True)
        for place, name in enumerate(BOATS_ASKED)
    ]
    signs = [
        label("?", left + place * step + 58, WATER - 40, "ink", 22, "middle")
        for place in range(len(BOATS_ASKED))
    ]
    return picture(
        f"On North Pier a box waits that is for {NEXT_HOP}. On the water lie the boats "
        f"{' and '.join([', '.join(BOATS_ASKED[:-1]), BOATS_ASKED[-1]])}, each with a question "
        "mark above it: the pier knows the address, and not which of the boats has it.",
        f"A box for {NEXT_HOP}. Which of the boats is that, and who can tell?",
        pier(30, 130, "North Pier", 52),
        box("cargo", 84, WATER - 56, 36, 28, 3),
        label(NEXT_HOP, 102, WATER - 66, "ink mono", 13, "middle"),
        *boats,
        *signs,
        moon(700, 42),
        stars((200, 40), (312, 24), (430, 58), (560, 30), (620, 76)),
    )


def forwarding_path() -> Picture:
    """Draw the stages of a router as gates of a canal, and the ways out behind the last."""
    left, step = 132, 80
    gates = [gate(left + number * step, name) for number, name in enumerate(STAGES)]
    end = left + len(STAGES) * step - 22
    ways = (("Plover", -96), ("Reed Pier", -56), ("Gull Rock", -16))
    fan = [
        path("way", f"M{end} {WATER - 34}Q{end + 24} {WATER + y} {end + 44} {WATER + y}")
        + label(name, end + 50, WATER + y + 5, "quiet", 13)
        for name, y in ways
    ]
    return picture(
        "A small boat with one box on it comes up to six gates, one behind the other: "
        f"{', '.join(STAGES)}. Behind the last gate three ways part: to Plover, to Reed Pier and "
        "to Gull Rock.",
        "In by one line, out by another. What happens between?",
        boat(104, 84),
        box("cargo", 40, WATER - 44, 36, 24, 3),
        *gates,
        *fan,
    )


def routes() -> Picture:
    """Draw boats in a row, each of which sees only the lamps next to it and passes on how far."""
    left, step, boats = 112, 156, len(SAID)
    lamps = [left - 36 + number * step for number in range(boats)]
    row = [
        boat(x + 36, 84) + path("line", f"M{x} {WATER - 20}V{WATER - 58}") + lamp(x, WATER - 62)
        + label(f"{metric} from me", x, WATER - 84, "ink", 13, "middle")
        for x, metric in zip(lamps, SAID, strict=True)
    ]  # fmt: skip
    ends = [*lamps, WIDTH - 60]
    between = "".join(f"M{one + 14} {WATER - 62}H{other - 14}" for one, other in pairwise(ends))
    return picture(
        f"{boats} boats lie in a row, each with a lamp, and sees the lamps next to its own only. "
        "At the right end is Lantern Pier. From left to right they say: "
        f"{', '.join(f'{metric} from me' for metric in SAID)}.",
        "Each sees only its neighbours. How do they find the way to everywhere?",
        moon(60, 36),
        stars((170, 30), (262, 46), (380, 26), (498, 44), (610, 28)),
        path("way", between),
        *row,
        pier(WIDTH - 100, 88, "Lantern Pier", WIDTH - 60),
    )


def buffers_and_tcp() -> Picture:
    """Draw a basin in which boats wait for a channel that lets one through at a time."""
    left, step = 166, 58
    places = [
        box("empty", left + place * step, WATER - 22, 48, 26, 4)
        if place < PLACES - WAITING
        else boat(left + place * step + 50, 50)
        for place in range(PLACES)
    ]
    end = left + PLACES * step
    return picture(
        f"On the left two boats sail towards a basin with {PLACES} places. {PLACES - WAITING} are "
        f"empty; in the other {WAITING} boats wait. Out of the basin leads one gate, with one boat "
        "behind it on the way to Lantern Pier.",
        "One gate, and more boats than fit through it. How many should be able to wait?",
        moon(86, 46),
        stars((190, 62), (282, 30), (396, 54), (512, 26), (604, 60), (716, 34)),
        boat(62, 50),
        boat(130, 50),
        path("arch", f"M{left - 14} {WATER - 34}V{WATER + 16}H{end + 4}"),
        *places,
        gate(end),
        boat(end + 108, 50),
        pier(WIDTH - 62, 120, "", WIDTH - 24),
        label("Lantern Pier", WIDTH - 12, WATER - 82, "quiet", 13, "end"),
    )


def queues_and_schedulers() -> Picture:
    """Draw a line of boats before a gate, nine of ten places taken, and an urgent one behind."""
    left, step = 118, 48
    row = [
        box("empty", left + place * step, WATER - 22, 40, 26, 4)
        if place == _FREE
        else boat(left + place * step + 42, 42)
        for place in range(_LINE)
    ]
    end = left + _LINE * step
    return picture(
        f"A line with {_LINE} places leads to a gate that lets one boat through at a time. "
        f"{_LINE - 1} of them are taken, one is empty. Last comes a boat with a burning lamp, "
        "marked urgent. Behind the gate lies Reed Pier.",
        "Nine tenths full: why is this line so slow, and who goes first?",
        moon(690, 42),
        stars((90, 34), (176, 66), (300, 30), (402, 58), (520, 26), (566, 48)),
        boat(84, 64),
        path("line", f"M52 {WATER - 20}V{WATER - 56}"),
        lamp(52, WATER - 60),
        label("urgent", 52, WATER - 82, "ink", 13, "middle"),
        *row,
        gate(end),
        pier(WIDTH - 84, 84, "Reed Pier", WIDTH - 20),
    )


def loss_and_tcp() -> Picture:
    """Draw a hundred boxes on a boat, one of them gone overboard."""
    left, step = 108, 17
    boxes = [
        box("empty" if (row, column) == _OVERBOARD else "cargo",
            left + column * step, WATER - 90 + row * 16, step - 4, 12, 2)
        for row in range(_ROWS)
        for column in range(_COLUMNS)
    ]  # fmt: skip
    x = left + _OVERBOARD[1] * step
    return picture(
        f"A long boat sails in fog from Reed Pier to Lantern Pier with {_ROWS * _COLUMNS} boxes. "
        "One place on it is empty: the box that stood there floats in the water.",
        "One in a hundred is lost. What does it cost, and why is it not one percent?",
        moon(58, 48),
        stars((212, 26), (372, 40), (498, 24), (598, 48), (664, 30)),
        boat(left - 26, _COLUMNS * step + 52, faces_left=True),
        *boxes,
        path("way", f"M{x + 6} {WATER - 92}Q{x + 60} {WATER - 130} {x + 186} {WATER + 2}"),
        box("band", x + 178, WATER + 4, 15, 13, 2),
        label("Reed Pier to Lantern Pier", left + _COLUMNS * step / 2, WATER - 4, "on-hull", 13,
              "middle"),
        pier(WIDTH - 84, 84, "", WIDTH - 20),
        label("Lantern Pier", WIDTH - 12, WATER - 82, "quiet", 13, "end"),
    )  # fmt: skip


def inside_the_switch() -> Picture:
    """Draw four lines of boats before a crossing of canals; the first ones want the same berth."""
    rows, top, step, end = (2, 2, 0, 2), 40, 30, 330
    lines, berths = [], []
    for place, first in enumerate(rows):
        y = top + place * step
        lines.append(path("thin", f"M{end} {y}H620"))
        for number, berth in enumerate((first, 3 - first, 1)):
            x = end - 34 - number * 40
            lines.append(box("cargo", x, y - 11, 30, 22, 3))
            lines.append(label("ABCD"[berth], x + 15, y + 5, "ink mono", 13, "middle"))
    for berth in range(len(rows)):
        x = 400 + berth * 60
        berths.append(path("thin", f"M{x} 26V{WATER - 26}"))
        berths.append(label(f"berth {'ABCD'[berth]}", x, WATER - 10, "quiet", 13, "middle"))
    return picture(
        "Four rows of boxes wait on the left, each box with the letter of its berth. Canals lead "
        "from every row to berth A, berth B, berth C and berth D. The first boxes are for C, C, A "
        "and C; boxes for B and D stand behind them.",
        "Three want berth C. Why do berths B and D stay empty?",
        stars((60, 30), (110, 84), (690, 60), (724, 110)),
        moon(690, 30),
        *lines,
        *berths,
    )


def your_own_router() -> Picture:
    """Draw parts of all kinds on a pier, and a boat that waits to be built of them."""
    names = ("check", "table", "rewrite", "queue", "send", "errors")
    parts = []
    for place, name in enumerate(names):
        x, y = 40 + place % 3 * 104, WATER - 118 + place // 3 * 36
        parts.append(box("cargo", x, y, 92, 26, 3))
        parts.append(label(name, x + 46, y + 18, "ink", 13, "middle"))
    return picture(
        "Six boxes stand on North Pier, with the words check, table, rewrite, queue, send and "
        "errors on them. Beside it lies an empty boat, and its crew has no plan yet.",
        "All parts are yours. In which order do they make a router?",
        moon(690, 40),
        stars((60, 26), (400, 34), (520, 22), (610, 60)),
        *parts,
        pier(20, 340, "North Pier", 30),
        boat(620, 200),
    )


def _bits(left: float, words: str, bits: str, turned: int = -1) -> str:
    """Write bits side by side, with a diamond around the one that was turned over."""
    y, step = 40, 18
    digits = [
        label(bit, left + place * step + 9, y + 5, "ink mono", 14, "middle")
        for place, bit in enumerate(bits)
    ]
    if turned >= 0:
        x = left + turned * step + 9
        digits.append(path("odd", f"M{x} {y - 15}l13 15l-13 15l-13-15z"))
    return "".join(digits) + label(words, left + 8 * step, y + 30, "quiet", 13, "middle")


FIRST_LOOKS: Mapping[str, Callable[[], Picture]] = {
    "01-frames-and-headers": frames_and_headers,
    "02-checksums": checksums,
    "03-addresses-and-prefixes": addresses_and_prefixes,
    "04-longest-prefix-match": longest_prefix_match,
    "05-neighbours-and-errors": neighbours_and_errors,
    "06-the-forwarding-path": forwarding_path,
    "07-routes": routes,
    "08-queues-and-schedulers": queues_and_schedulers,
    "09-inside-the-switch": inside_the_switch,
    "10-buffers-and-tcp": buffers_and_tcp,
    "11-loss-and-tcp": loss_and_tcp,
    "12-your-own-router": your_own_router,
}
