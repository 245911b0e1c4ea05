"""The exercises of unit 07, routes."""

__all__ = ["EXERCISES"]

from course_lib.exercises.registry import Aspect, Exercise

UNIT = "07-routes"

EXERCISES = (
    Exercise(
        id="7.1",
        unit=UNIT,
        function="hear_update",
        title="Hear an update",
        aspects=(
            Aspect("better or worse", 2),
            Aspect("infinity", 1),
            Aspect("what does not count", 1),
        ),
        apart="variation",
        differs="The library's router keeps a table of its own, with links, deadlines and flags; "
        "here a table of plain pairs comes in, and the new one is returned.",
    ),
    Exercise(
        id="7.2",
        unit=UNIT,
        function="tell_neighbours",
        title="What to tell whom",
        aspects=(
            Aspect("split horizon", 1),
            Aspect("poisoned reverse", 1),
            Aspect("only what has changed", 1),
            Aspect("messages", 1),
        ),
        apart="variation",
        differs="The library tells links in the order of its table, and keeps flags of what has "
        "changed; here neighbours are told, in a given order, what a list says has changed.",
    ),
    Exercise(
        id="7.3",
        unit=UNIT,
        function="first_hops",
        title="Which way to begin",
        aspects=(
            Aspect("cheapest ways", 2),
            Aspect("equal ways", 1),
            Aspect("links that cost nothing", 1),
        ),
        apart="variation",
        differs="The library must be told which vertices are networks, joins no places twice, and "
        "looks through networks for the router behind; here links are a list, any may cost 0.",
        may_not_use=("networkx",),
    ),
    Exercise(
        id="7.4",
        unit=UNIT,
        function="new_flooder",
        title="Tell everybody, once",
        aspects=(
            Aspect("which copy is newer", 2),
            Aspect("to whom", 1),
            Aspect("old and dead copies", 1),
            Aspect("not yet confirmed", 1),
        ),
        apart="variation",
        differs="The library's database ages its copies, repeats what nobody confirmed by the "
        "clock, and has signed numbers; here numbers are read off 32 bits, and who waits is asked.",
        driver="operate",
    ),
    Exercise(
        id="7.5",
        unit=UNIT,
        function="plan_changes",
        title="While packets pass",
        aspects=(
            Aspect("fewest changes", 1),
            Aspect("no hole", 1),
            Aspect("no third next hop", 2),
        ),
        apart="variation",
        differs="The library goes by kinds of changes: additions, replacements, removals; here the "
        "change with the lowest address that keeps the promise comes next, whatever its kind.",
    ),
    Exercise(
        id="7.6",
        unit=UNIT,
        function="new_process",
        title="A process that runs",
        aspects=(
            Aspect("telling", 1),
            Aspect("cut lines", 1),
            Aspect("time", 2),
        ),
        apart="variation",
        differs="The library's process has links, requests, random pauses and flags, and ends "
        "by deadlines of its own; here each call says at once who is told what, in plain lists.",
        driver="operate",
    ),
)
