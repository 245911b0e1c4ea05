"""A room without laptops does what a real one does: packets stop, routers notice, packets flow."""

from instructor.joined_room.screen.rehearsed_room import TIMERS, RehearsedRoom
from instructor.joined_room.screen.screen_wishes import Wish

# A neighbour is given up after the dead interval (RFC 2328, section 9.5); news of it may have to
# wait for the shortest time between two advertisements, 5 s (appendix B). A second more for ours.
LONGEST_S = TIMERS.dead_interval_s + 5 + 1


def test_a_pulled_line_is_noticed_by_the_routers_alone_and_a_packet_tells_the_new_way():
    room = RehearsedRoom("ring", 6)
    ends = {"source": "North Pier", "destination": "Amber Pier"}
    room.wish(Wish("stream", **ends))
    room.go_on(3.0)
    before = room.view()
    assert before.stream.path[:1] + before.stream.path[-1:] == tuple(ends.values())
    assert (before.stream.quiet_s, before.stream.back_after_s) == (None, None)
    assert set(before.stream.strip) == {"played"}
    hop = set(before.stream.path[:2])
    line = next(one for one in before.links if set(one.ends) == hop)
    assert sum(line.bits_per_s) > 150 * 8 * 200  # the stream, and what else there is

    room.wish(Wish("pull", link=line.number))
    room.go_on(1.0)
    assert room.view().stream.quiet_s > 0.9
    assert room.view().links[line.number].state == "pulled"
    room.go_on(LONGEST_S)
    after = room.view()
    assert 1.0 < after.stream.back_after_s < LONGEST_S
    assert after.stream.quiet_s is None
    assert hop - set(after.stream.path[:2])
    assert "lost" in after.stream.strip or after.stream.lost > 150

    room.wish(Wish("follow", **ends))
    room.go_on(1.0)
    steps = room.view().story.steps
    assert tuple(step.pier for step in steps) == after.stream.path
    lives = [bytes.fromhex(step.octets_hex)[22] for step in steps]  # RFC 791: octet 8 of the header
    assert lives == [64 - hop for hop in range(1, len(steps) + 1)]
    assert [step.lives for step in steps] == [(life + 1, life) for life in lives]
    forwarded = [f"forwarded to {pier}" for pier in after.stream.path[1:]]
    assert [step.verdict for step in steps] == [*forwarded, "delivered to the host at this pier"]


def test_a_laptop_that_sleeps_takes_its_lines_with_it_until_it_wakes():
    room = RehearsedRoom("ring", 5)
    room.sleep("Reed Pier")
    room.wish(Wish("pull", link=0))  # between North Pier and Reed Pier
    states = {one.state for one in room.view().links if "Reed Pier" in one.ends}
    assert states == {"down", "pulled"}
    assert {one.pier: one.state for one in room.view().members}["Reed Pier"] == "asleep"
    room.wake("Reed Pier")
    assert [one.state for one in room.view().links].count("up") == len(room.view().links) - 1
    room.wish(Wish("mend", link=0))
    assert {one.state for one in room.view().links} == {"up"}
