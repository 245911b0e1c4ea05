"""The contract of exercise 12.1, clause by clause."""

__all__ = ["NEW_ROUTER"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_12.misconceptions import routers
from instructor.units.unit_12.router import broken

ORDER, NEAR = "the order", "neighbours"
ERRORS, COUNTERS = "errors", "counters"

NEW_ROUTER = Contract(
    clauses=(
        Clause('A frame of kind "other" is ignored', ORDER, broken.OthersAreMessages),
        Clause(
            "and one for another hardware address",
            ORDER,
            broken.TakesPacketsOfOthers,
            also=(routers.RouterThatTakesWhatIsForAll, routers.RouterThatTakesAll),
        ),
        Clause(
            'holds a message and is for "ff:ff:ff:ff:ff:ff"', NEAR,
            routers.RouterThatHearsItsOwnOnly,
        ),
        Clause("the answers go out, and then", NEAR, routers.RouterThatLetsPacketsGoFirst),
        Clause(
            "the packets that waited, each in a frame for its neighbour",
            NEAR,
            broken.ForgetsTheSecond,
            also=(routers.RouterThatForgetsWhatWaits, broken.WaitsForTheRouter),
        ),
        Clause("A packet that is not sound ends in silence", ORDER, broken.TellsOfUnsound),
        Clause("One for an address of any interface", ORDER, routers.RouterWithOneAddress),
        Clause(
            "gets its answer",
            ORDER,
            broken.AgesItsOwnFirst,
            also=(broken.AnswersLowered, broken.AnswersComeBack),
        ),
        Clause("if there is one", ORDER, broken.TellsAnything),
        Clause("For all others the way is looked up; then", ERRORS,
               routers.RouterThatAgesBeforeTheWay),
        Clause("the time to live is lowered", ORDER, broken.LowersTwice),
        Clause("leaves by the interface of its way", ORDER, routers.RouterThatNeverTurnsBack),
        Clause(
            "for the next hop, or for its destination if that is a neighbour", NEAR,
            routers.RouterThatAsksForTheEnd,
        ),
        Clause("else it waits, and the questions go out", NEAR, broken.NoQuestion),
        Clause('An error says "net unreachable" where there is no way', ERRORS, broken.SaysNet),
        Clause('"time exceeded" where `lower` refuses', ERRORS, broken.SaysTime),
        Clause("tick sends the questions of `give_up`", NEAR, broken.NeverAsksAgain),
        Clause(
            'an error "host unreachable" about each packet given up', ERRORS,
            routers.RouterThatGivesUpInSilence, also=(broken.SaysHost,),
        ),
        Clause(
            "none about a packet whose source is an address of the router", ERRORS,
            broken.TellsItselfBeforeFour,
        ),
        Clause(
            "The way of an error is that to the sender; its address is that of the interface "
            "by which it leaves",
            ERRORS,
            routers.RouterThatSignsWithTheFirst,
            also=(routers.RouterThatSendsErrorsBack,),
        ),
        Clause(
            "Errors and answers are sent like other packets, but not lowered", ERRORS,
            broken.ErrorsLowered,
        ),
        Clause(
            "without a way they end", ERRORS, broken.ErrorsWithoutAWay,
            also=(broken.AnswersWithoutAWay,),
        ),
        Clause('"bad header"', COUNTERS, broken.MiscountsHeaders),
        Clause('"for us"', COUNTERS, broken.MiscountsForUs),
        Clause('"no route"', COUNTERS, broken.MiscountsRoutes),
        Clause('"too old"', COUNTERS, broken.MiscountsTimes),
        Clause(
            '"forwarded" (each as it leaves in a frame)', COUNTERS,
            broken.CountsUntilGivenUp,
            also=(broken.MiscountsForwarded, routers.RouterThatCountsWhatWaits),
        ),
        Clause('"given up"', COUNTERS, broken.MiscountsGivenUp),
        Clause("What the router says itself is counted nowhere", COUNTERS,
               routers.RouterThatCountsItself, also=(broken.CountsItsOwnGivenUp,)),
    ),
    says_only=(
        "Return a router put together from `parts`, an object with the functions above.",
        "`own` tells for each interface its address and its hardware address.",
        "Frames, packets and messages are for the parts alone to read.",
        "return a list of pairs (interface, frame): what to send, in order.",
        "A message is heard:",
        "it is about the packet as it came in",
        "counters() returns a dict with six numbers, of packets that came in:",
        "Example: with time to live 1",
    ),
)  # fmt: skip
