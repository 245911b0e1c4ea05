"""What a router does with the advertisements that reach it (RFC 2328, sections 13 and 14)."""

import pytest

from course_lib.routing.advertisements import (
    FIRST_SEQUENCE,
    LAST_SEQUENCE,
    MAX_AGE_S,
    Advertisement,
    make_advertisement,
)
from course_lib.routing.flooding import Acknowledgement, LinkStateDatabase, LinkStateUpdate
from course_lib.routing.protocol import Outgoing

Described = list[tuple[str, str, int]]


def reed(sequence: int = 5, cost: int = 1, age_s: float = 0) -> Advertisement[str]:
    return make_advertisement("Reed Pier", sequence, (("Plover", cost),), ()).at_age(age_s)


def database(*links: str) -> LinkStateDatabase[str]:
    """Return the empty database of Plover, with a neighbour on each of the links."""
    empty = LinkStateDatabase[str]("Plover")
    for link in links:
        assert empty.neighbour_up(0, link) == []
    return empty


def described(outgoing: list[Outgoing]) -> Described:
    """Return (link, what, sequence number) of all items sent, for easy reading."""
    items: Described = []
    for link, message in outgoing:
        if isinstance(message, LinkStateUpdate):
            items += [(link, "update", a.header.sequence) for a in message.advertisements]
        else:
            assert isinstance(message, Acknowledgement)
            items += [(link, "ack", h.sequence) for h in message.headers]
    return items


def test_news_is_kept_passed_on_everywhere_else_and_acknowledged():
    base = database("east", "west", "south")
    out = base.receive(1, reed(), "east")
    assert described(out) == [("west", "update", 5), ("south", "update", 5), ("east", "ack", 5)]
    assert base.get(1, "Reed Pier") == reed()


def test_the_same_again_is_acknowledged_and_goes_no_further():
    base = database("east", "west")
    base.receive(1, reed(), "east")
    assert described(base.receive(2, reed(age_s=1), "east")) == [("east", "ack", 5)]


def test_the_same_from_a_neighbour_that_owes_an_acknowledgement_is_one():
    """RFC 2328, section 13, step 7a."""
    base = database("east", "west")
    base.receive(1, reed(), "east")
    assert base.receive(1.1, reed(age_s=2), "west") == []
    assert base.tick(10) == []


def test_something_older_is_answered_with_what_we_have():
    base = database("east", "west")
    base.receive(1, reed(7), "east")
    assert described(base.receive(5, reed(6), "west")) == [("west", "update", 7)]
    assert base.get(5, "Reed Pier").header.sequence == 7


def test_the_answer_to_older_ones_is_not_given_twice_within_a_second():
    """RFC 2328, section 13, step 8."""
    base = database("east", "west")
    base.receive(1, reed(7), "east")
    assert described(base.receive(5, reed(6), "west")) != []
    assert base.receive(5.9, reed(6), "west") == []
    assert described(base.receive(6, reed(6), "west")) != []


def test_a_newer_one_within_a_second_is_ignored_so_that_it_is_sent_again():
    """RFC 2328, section 13, step 5a: MinLSArrival."""
    base = database("east", "west")
    base.receive(1, reed(5), "east")
    assert base.receive(1.9, reed(6), "east") == []
    assert base.get(1.9, "Reed Pier").header.sequence == 5
    assert described(base.receive(2, reed(6), "east")) == [
        ("west", "update", 6),
        ("east", "ack", 6),
    ]


def test_our_own_words_may_be_answered_within_a_second():
    """The limit is on what came from neighbours (section 13, step 5a: "received via flooding")."""
    base = database("east", "west")
    base.flood(1, reed(5))
    assert described(base.receive(1.5, reed(6), "east")) == [
        ("west", "update", 6),
        ("east", "ack", 6),
    ]


def test_what_is_not_acknowledged_is_repeated_every_5_s():
    """RFC 2328, section 13.6."""
    base = database("east", "west")
    base.receive(1, reed(), "east")
    assert base.next_tick_s() == 6
    assert base.tick(5.9) == []
    assert described(base.tick(6)) == [("west", "update", 5)]
    assert described(base.tick(11)) == [("west", "update", 5)]
    base.acknowledged(reed(age_s=2).header, "west")
    assert base.tick(16) == []
    assert base.next_tick_s() == 1 + MAX_AGE_S


def test_news_does_not_put_off_the_repetition_of_what_waits():
    base = database("east", "west")
    base.receive(1, reed(), "east")
    base.receive(4, make_advertisement("Curlew", 1, (), ()), "east")
    assert described(base.tick(6)) == [("west", "update", 5), ("west", "update", 1)]


def test_an_acknowledgement_of_another_instance_does_not_count():
    """RFC 2328, section 13.7."""
    base = database("east", "west")
    base.receive(1, reed(6), "east")
    base.acknowledged(reed(5).header, "west")
    assert described(base.tick(6)) == [("west", "update", 6)]


def test_a_neighbour_that_sends_something_newer_need_not_acknowledge_the_older():
    """RFC 2328, section 13, step 5c."""
    base = database("east", "west")
    base.receive(1, reed(5), "west")
    base.receive(3, reed(6), "east")
    base.acknowledged(reed(6).header, "west")
    assert base.tick(20) == []


def test_a_neighbour_that_is_gone_is_not_waited_for():
    base = database("east", "west")
    base.receive(1, reed(), "east")
    base.neighbour_down("west")
    assert base.tick(100) == []


def test_a_new_neighbour_gets_everything():
    base = database("east")
    base.receive(1, reed(), "east")
    base.receive(1, make_advertisement("Curlew", 2, (), ()), "east")
    out = base.neighbour_up(3, "west")
    assert described(out) == [("west", "update", 5), ("west", "update", 2)]


def test_a_copy_ages_while_it_is_kept_and_by_a_second_when_it_is_sent():
    """RFC 2328, section 13.3 (5) and section 14."""
    base = database("east")
    base.receive(10, reed(age_s=100), "east")
    assert base.get(60, "Reed Pier").header.age_s == 150
    (out,) = base.neighbour_up(60, "west")
    assert out.message.advertisements[0].header.age_s == 151


def test_a_copy_that_dies_of_age_is_announced_dead_and_forgotten_when_all_know():
    """RFC 2328, section 14."""
    base = database("east", "west")
    base.receive(10, reed(age_s=MAX_AGE_S - 50), "east")
    base.acknowledged(reed().header._replace(age_s=MAX_AGE_S - 50), "west")
    assert base.next_tick_s() == 60
    assert len(base.alive()) == 1
    version = base.version
    out = base.tick(60)
    assert base.version == version + 1
    assert described(out) == [("east", "update", 5), ("west", "update", 5)]
    assert base.alive() == []
    dead = out[0].message.advertisements[0].header
    assert dead.age_s == MAX_AGE_S
    for link in ("east", "west"):
        base.forget_the_dead()
        assert base.holds("Reed Pier")
        base.acknowledged(dead, link)
    base.forget_the_dead()
    assert not base.holds("Reed Pier")


def test_news_of_a_death_kills_our_copy_and_travels_on():
    base = database("east", "west")
    base.receive(1, reed(), "east")
    out = base.receive(5, reed(age_s=MAX_AGE_S), "east")
    assert described(out) == [("west", "update", 5), ("east", "ack", 5)]
    assert base.alive() == []


def test_news_of_the_death_of_an_unknown_is_acknowledged_and_dropped():
    """RFC 2328, section 13, step 4."""
    base = database("east", "west")
    assert described(base.receive(1, reed(age_s=MAX_AGE_S), "east")) == [("east", "ack", 5)]
    assert not base.holds("Reed Pier")


def test_while_the_last_number_is_being_withdrawn_older_ones_get_no_answer():
    """RFC 2328, section 13, step 8: the numbers start again, so nothing else may be spread."""
    base = database("east", "west")
    base.receive(1, reed(LAST_SEQUENCE, age_s=MAX_AGE_S - 1), "east")
    base.tick(10)
    assert base.receive(20, reed(FIRST_SEQUENCE), "west") == []


@pytest.mark.parametrize(
    ("second", "grows"),
    [
        pytest.param(reed(6, cost=1), 0, id="same contents, new number"),
        pytest.param(reed(6, cost=2), 1, id="another cost"),
        pytest.param(reed(5, cost=1, age_s=MAX_AGE_S), 1, id="dead"),
    ],
)
def test_only_a_change_of_contents_calls_for_new_routes(second, grows):
    """RFC 2328, section 13.2."""
    base = database("east")
    base.receive(1, reed(5), "east")
    before = base.version
    base.receive(5, second, "east")
    assert base.version == before + grows
