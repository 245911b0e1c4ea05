"""The contract of exercise 12.1, clause by clause."""

__all__ = ["NEW_ROUTER"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_12.misconceptions import routers
from instructor.units.unit_12.router import broken_counters as counters
from instructor.units.unit_12.router import broken_errors as errors
from instructor.units.unit_12.router import broken_order as order

ORDER, NEAR = "the order", "neighbours"
ERRORS, COUNTERS = "errors", "counters"

NEW_ROUTER = Contract(
    clauses=(
        Clause('A frame of kind "other" is ignored', ORDER, order.OthersAreMessages),
        Clause(
            "and one for another hardware address",
            ORDER,
            order.TakesPacketsOfOthers,
            also=(
                routers.RouterThatTakesWhatIsForAll,
                routers.RouterThatTakesAll,
                order.CountsTheUnsoundOfOthers,
            ),
        ),
        Clause(
            'holds a message and is for "ff:ff:ff:ff:ff:ff"', NEAR,
            routers.RouterThatHearsItsOwnOnly,
        ),
        Clause("the answers go out, and then", NEAR, routers.RouterThatLetsPacketsGoFirst),
        Clause(
            "the packets that waited, each in a frame for its neighbour",
            NEAR,
            order.ForgetsTheSecond,
            also=(routers.RouterThatForgetsWhatWaits, order.WaitsForTheRouter),
        ),
        Clause("A packet that is not sound ends in silence", ORDER, order.TellsOfUnsound,
               also=(order.AnswersTheUnsound,)),
        Clause("One for an address of any interface", ORDER, routers.RouterWithOneAddress),
        Clause(
            "gets its answer",
            ORDER,
            order.AgesItsOwnFirst,
            also=(order.AnswersLowered, order.AnswersComeBack),
        ),
        Clause("if there is one", ORDER, order.TellsAnything),
        Clause("For all others the way is looked up; then", ERRORS,
               routers.RouterThatAgesBeforeTheWay),
        Clause("the time to live is lowered", ORDER, order.LowersTwice),
        Clause("leaves by the interface of its way", ORDER, routers.RouterThatNeverTurnsBack),
        Clause(
            "for the next hop, or for its destination if that is a neighbour", NEAR,
            order.AsksForTheEnd,
        ),
        Clause("else it waits, and the questions go out", NEAR, order.NoQuestion),
        Clause('An error says "net unreachable" where there is no way', ERRORS, errors.SaysNet),
        Clause('"time exceeded" where `lower` refuses', ERRORS, errors.SaysTime),
        Clause("tick sends the questions of `give_up`", NEAR, order.NeverAsksAgain),
        Clause(
            'an error "host unreachable" about each packet given up', ERRORS,
            errors.SaysHost, also=(routers.RouterThatGivesUpInSilence,),
        ),
        Clause("of `give_up`, then an error", ERRORS, errors.TellsFirst),
        Clause(
            "none about a packet whose source is an address of the router", ERRORS,
            errors.TellsItselfBeforeFour,
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
            errors.ErrorsLowered, also=(errors.OwnWordsToTheEnd, errors.ErrorsDoNotWait),
        ),
        Clause(
            "without a way they end", ERRORS, errors.ErrorsWithoutAWay,
            also=(errors.AnswersWithoutAWay,),
        ),
        Clause('"bad header"', COUNTERS, counters.MiscountsHeaders),
        Clause('"for us"', COUNTERS, counters.MiscountsForUs),
        Clause('"no route"', COUNTERS, counters.MiscountsRoutes),
        Clause('"too old"', COUNTERS, counters.MiscountsTimes),
        Clause(
            '"forwarded" (each as it leaves in a frame)', COUNTERS,
            counters.CountsUntilGivenUp,
            also=(counters.MiscountsForwarded, routers.RouterThatCountsWhatWaits),
        ),
        Clause('"given up"', COUNTERS, counters.MiscountsGivenUp),
        Clause("What the router says itself is counted nowhere", COUNTERS,
               routers.RouterThatCountsItself, also=(counters.CountsItsOwnGivenUp,)),
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
