"""What routing protocols tell and learn, as a witness writes it down."""

from course_lib.routing.distance_vector import DistanceVector
from course_lib.routing.distance_vector_messages import RouteEntry, Update
from course_lib.routing.link_state import LinkState
from course_lib.routing.neighbour_discovery import Hello, Timers
from course_lib.tracing.routing_talk import Line, Note, Witness, last_news_s, talk_of

ENDS = {"east": ("Plover", "Curlew")}


def vector(place, notes, attached=()):
    return Witness(place, DistanceVector(place, {"east": 1}, dict.fromkeys(attached, 1)), notes)


def told(notes, since_s=0.0):
    return talk_of(notes, since_s, ENDS, str)


def test_a_witness_hands_every_call_on_and_changes_nothing():
    notes: list[Note] = []
    watched = vector("Plover", notes, ["quay"])
    bare = DistanceVector("Plover", {"east": 1}, {"quay": 1})
    news = Update("Curlew", (RouteEntry("mast", 3),))
    for call in ("start", "tick"):
        assert getattr(watched, call)(0) == getattr(bare, call)(0)
    assert watched.receive(1, news, "east") == bare.receive(1, news, "east")
    assert watched.link_down(2, "east") == bare.link_down(2, "east")
    assert watched.link_up(3, "east") == bare.link_up(3, "east")
    assert watched.routes() == bare.routes()
    assert watched.next_tick_s() == bare.next_tick_s()
    assert len(notes) == 5


def test_what_was_told_is_found_with_what_it_taught():
    notes: list[Note] = []
    plover, curlew = vector("Plover", notes), vector("Curlew", notes, ["quay"])
    (update,) = [out.message for out in curlew.start(1) if isinstance(out.message, Update)]
    plover.receive(1.5, update, "east")
    talk = told(notes, 0.5)
    assert [(one.origin, one.target, one.leaves_s, one.arrives_s) for one in talk.travels] == [
        ("Curlew", "Plover", 0.5, 1.0)
    ]
    assert talk.tables_at(0.9).get("Plover", {}) == {}
    assert talk.tables_at(1.0)["Plover"] == {"quay": Line(2, ("Curlew",))}
    assert talk.moments_s == (0.5, 1.0)
    assert last_news_s(notes) == 1.5


def test_an_update_from_which_nobody_learns_is_left_out():
    notes: list[Note] = []
    plover, curlew = vector("Plover", notes), vector("Curlew", notes, ["quay"])
    (update,) = [out.message for out in curlew.start(0) if isinstance(out.message, Update)]
    plover.receive(0.5, update, "east")
    (again,) = curlew.tick(40)
    plover.receive(40.5, again.message, "east")
    assert told(notes, 30).travels == ()
    assert told(notes, 30).before["Plover"] == {"quay": Line(2, ("Curlew",))}


def test_what_never_arrives_is_lost():
    notes: list[Note] = []
    plover = Witness("Plover", LinkState("Plover", {"east": 1}, {"quay": 1}), notes)
    plover.start(0)
    plover.receive(1, Hello("Curlew", Timers(), heard=("Plover",)), "east")  # so it tells its map
    (travel,) = told(notes).travels
    assert (travel.origin, travel.target, travel.leaves_s) == ("Plover", "Curlew", 1)
    assert travel.is_lost
    assert last_news_s(notes) == 1
