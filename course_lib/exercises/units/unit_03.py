"""The exercises of unit 03, addresses and prefixes."""

__all__ = ["EXERCISES"]

from course_lib.exercises.registry import Aspect, Exercise

UNIT = "03-addresses-and-prefixes"
IN_PYTHON = ("ipaddress", "socket", "_socket")  # what they know is what is asked

EXERCISES = (
    Exercise(
        id="3.1",
        unit=UNIT,
        function="address_after",
        title="Read it, go on, write it",
        aspects=(
            Aspect("steps and carries", 1),
            Aspect("both ends", 1),
            Aspect("what is no address", 1, refusals=True),
        ),
        apart="variation",
        differs="The library reads an address or writes one; here a text goes in, another one "
        "comes out, and both ends of all addresses are in the way.",
        may_not_use=IN_PYTHON,
    ),
    Exercise(
        id="3.2",
        unit=UNIT,
        function="describe_link",
        title="All about a link",
        aspects=(
            Aspect("whole octets", 1),
            Aspect("inside an octet", 2),
            Aspect("extreme lengths", 1),
        ),
        apart="variation",
        differs="The library answers with numbers, one at a time, and refuses host bits; here any "
        "address of a link stands for it, and all answers are texts.",
        may_not_use=IN_PYTHON,
    ),
    Exercise(
        id="3.3",
        unit=UNIT,
        function="neighbourhood",
        title="Who takes whom for a neighbour?",
        aspects=(Aspect("alike", 1), Aspect("one-sided", 2), Aspect("special blocks", 1)),
        apart="variation",
        differs="The library compares one address with one prefix, and knows special blocks by "
        "their octets; here two hosts ask, each with its own length, and blocks have names.",
        may_not_use=IN_PYTHON,
    ),
    Exercise(
        id="3.4",
        unit=UNIT,
        function="free_prefixes",
        title="What is free?",
        aspects=(Aspect("a range", 2), Aspect("what is left", 2)),
        apart="variation",
        differs="The library looks for what is free in a prefix, in numbers; here in any range, in "
        "texts, and what is taken may lie inside one another.",
        may_not_use=IN_PYTHON,
    ),
    Exercise(
        id="3.5",
        unit=UNIT,
        function="aggregate_routes",
        title="Say it with fewer routes",
        aspects=(Aspect("one next hop", 2), Aspect("several next hops", 2)),
        apart="variation",
        differs="The library joins prefixes and never looks at next hops; here a more specific "
        "route with another next hop must survive.",
        may_not_use=IN_PYTHON,
    ),
    Exercise(
        id="3.6",
        unit=UNIT,
        function="make_plan",
        title="An address plan",
        aspects=(Aspect("sizes", 1), Aspect("places", 2), Aspect("does not fit", 2)),
        apart="variation",
        differs="The library is asked for lengths and raises an error; here hosts are counted, and "
        "the answer says why a plan cannot be made.",
        may_not_use=IN_PYTHON,
    ),
)
