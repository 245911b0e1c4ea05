"""The exercises of unit 09, inside the switch."""

__all__ = ["EXERCISES"]

from course_lib.exercises.registry import Aspect, Exercise

UNIT = "09-inside-the-switch"

EXERCISES = (
    Exercise(
        id="9.1",
        unit=UNIT,
        function="cross_once",
        title="Who crosses, and who is blocked?",
        aspects=(
            Aspect("who crosses", 2),
            Aspect("who is blocked", 2),
        ),
        apart="variation",
        differs="The library's inputs choose at random or in turn, inside a loop over slots; here "
        "the longest line goes first, and who is blocked by whom is asked for.",
    ),
    Exercise(
        id="9.2",
        unit=UNIT,
        function="new_inputs",
        title="A line for each output",
        aspects=(
            Aspect("cells in order", 1),
            Aspect("how many wait", 1),
            Aspect("what may not cross", 2),
        ),
        apart="variation",
        differs="The library numbers cells and keeps them in arrays inside a loop over slots, "
        "which ends at a wrong matching; here cells have names, and a wrong matching lets none "
        "cross.",
        driver="operate",
    ),
    Exercise(
        id="9.3",
        unit=UNIT,
        function="judge_matching",
        title="Could more have crossed?",
        aspects=(
            Aspect("legal", 1),
            Aspect("maximal", 1),
            Aspect("maximum", 3),
        ),
        apart="variation",
        differs="The library refuses what is not legal, and never asks whether a matching is the "
        "largest; here a witness is given for each no.",
    ),
    Exercise(
        id="9.4",
        unit=UNIT,
        function="new_matcher",
        title="Request, grant, accept",
        aspects=(
            Aspect("grant and accept", 1),
            Aspect("pointers", 2),
            Aspect("more rounds", 2),
        ),
        apart="variation",
        differs="The library's rule fills one array in a loop, with a number of rounds that is set "
        "before; here a matcher is an object that goes on as long as it finds pairs, and tells "
        "which round found which.",
        driver="operate",
    ),
    Exercise(
        id="9.5",
        unit=UNIT,
        function="pipeline_limits",
        title="The stage that limits",
        aspects=(
            Aspect("the stages", 2),
            Aspect("the host", 2),
        ),
        apart="variation",
        differs="The library draws a pipeline over its clock, packet by packet; here what limits "
        "it is worked out from cycles and units, and what share of all packets a host stands.",
    ),
    Exercise(
        id="9.6",
        unit=UNIT,
        function="longest_first",
        title="A rule of one's own",
        aspects=(
            Aspect("longest first", 1),
            Aspect("of equals", 1),
            Aspect("until nothing is left", 1),
        ),
        apart="variation",
        differs="The library's rules choose at random or in turn, in rounds; none looks at how "
        "many cells wait.",
        driver="fill_in",
    ),
)
