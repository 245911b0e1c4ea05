"""Rooms as the screen might have to show them: of any size, at rest and in trouble."""

from dataclasses import replace

from instructor.joined_room.neighbours import room_plan
from instructor.joined_room.room_view import (
    ROUTER_ENDED,
    LinkView,
    MemberView,
    RoomView,
    StoryStep,
    StoryView,
    StreamView,
)
from instructor.joined_room.screen.screen_wishes import WishError

STRIP = ("played",) * 80 + ("late",) * 12 + ("lost",) * 18 + ("played",) * 40
# An Ethernet frame with an IPv4 header and a UDP header, all of documentation's addresses.
FRAME = (
    "00005e00530200005e00530108004500002c00010000{ttl:02x}11{sum}c0000203cb007105138c138c00180000"
) + "00" * 16


def room_of(kind="ring", piers=24, *, at_s=1.0, busy=True):
    """Return a room in which all are there and every link carries something."""
    plan = room_plan(kind, piers)
    members = tuple(MemberView(*place, "here") for place in plan.places)
    rate = [(number * 37 % 100) * 20_000.0 * busy for number in range(len(plan.links))]
    links = tuple(
        LinkView(number, (plan.places[one].pier, plan.places[other].pier), "up",
                 (rate[number], rate[-number]), (0.0, 0.0))
        for number, (one, other) in enumerate(plan.links)
    )  # fmt: skip
    return RoomView("Quay room", "code ends in HERON", at_s, members, links)


def troubled(view):
    """Return the room with all that can go wrong: sleepers, one that left, faults, links, loss."""
    members, links = list(view.members), list(view.links)
    wrong = ["asleep", "gone", "awaited", "packets go in a circle", "routes that are not true",
             ROUTER_ENDED]  # fmt: skip
    for place, what in enumerate(wrong[: len(members) - 2], start=1):
        at = place * (len(members) - 1) // len(wrong)
        fault = {"faults": (what,)} if place > 3 else {"state": what}
        members[at] = replace(members[at], **fault)
    away = {one.pier for one in members if one.state != "here"}
    for n, link in enumerate(links):
        if away.intersection(link.ends):
            links[n] = replace(link, state="down", bits_per_s=(0.0, 0.0))
        elif n % 5 == 2:
            links[n] = replace(link, lost_share=(0.123, 0.0))
    pulled = next(n for n, link in enumerate(links) if link.state == "up")
    links[pulled] = replace(links[pulled], state="pulled", bits_per_s=(0.0, 0.0))
    return replace(view, members=tuple(members), links=tuple(links))


def with_stream(view, *, quiet_s=None, back_after_s=None, path=None):
    """Return the room with a stream along some links."""
    path = path or way(view)
    stream = StreamView(path[0], path[-1], path, 123_456, 120_001, 345, 3_110, STRIP,
                        quiet_s, back_after_s)  # fmt: skip
    return replace(view, stream=stream)


def with_story(view):
    """Return the room with the life of a packet along the same links."""
    piers = way(view)
    said = [*(f"forwarded to {pier}" for pier in piers[1:]), "delivered to the host at this pier"]
    steps = tuple(
        StoryStep(pier, verdict, frame_of(64 - n), (65 - n, 64 - n))
        for n, (pier, verdict) in enumerate(zip(piers, said, strict=True))
    )
    packet = f"An echo request from {piers[0]} to {piers[-1]}"
    return replace(view, story=StoryView(1, packet, steps))


def frame_of(life):
    """Return the frame with a time to live, in hexadecimal digits, and a checksum to match."""
    return FRAME.format(ttl=life, sum=f"{0x36B8 + 64 - life:04x}")


def way(view, hops=6):
    """Return piers one after the other along links that are up, none twice."""
    path = [view.members[0].pier]
    while len(path) < hops:
        ends = [link.ends for link in view.links if path[-1] in link.ends and link.state == "up"]
        ahead = [pier for one in ends for pier in one if pier not in path]
        if not ahead:
            break
        path.append(ahead[-1])
    return tuple(path)


class ShownRoom:
    """A room that is what a test says, and remembers what was wished."""

    def __init__(self, shown):
        self.shown, self.wishes, self.refuses = shown, [], None

    def view(self):
        return self.shown

    def wish(self, wish):
        if self.refuses:
            raise WishError(self.refuses)
        self.wishes.append(wish)
