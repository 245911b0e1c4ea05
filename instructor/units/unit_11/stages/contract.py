"""The contract of exercise 11.1, clause by clause."""

__all__ = ["NEW_LOSS"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_11.misconceptions import stages
from instructor.units.unit_11.stages import broken

FLOW, DATA, ELSE = "each flow by itself", "only data", "what else passes"

NEW_LOSS = Contract(
    clauses=(
        Clause("returns True if the packet goes on", "", broken.OtherWayRound),
        Clause("options perhaps among it", DATA, stages.LossWithShortHeaders),
        Clause("padding perhaps behind its total length", DATA, stages.LossWithPadding),
        Clause("the protocol is 6", ELSE, stages.LossOfAnyProtocol),
        Clause(
            "the fragment offset is 0",
            ELSE,
            stages.LossOfLaterFragments,
            also=(stages.LossWithoutFlags, stages.LossOfWholePacketsOnly),
        ),
        Clause(
            "between the TCP header and the end",
            DATA,
            stages.LossWithShortTcpHeaders,
            also=(stages.LossOfHandshakes, broken.TcpHeaderInOctets),
        ),
        Clause("at least one octet", DATA, broken.OneOctetIsNothing),
        Clause("Everything else passes", ELSE, broken.DropsEchoes),
        Clause("and is not counted", DATA, stages.LossThatCountsAcknowledgements),
        Clause("source address", FLOW, broken.SourceHostIgnored),
        Clause("destination address", FLOW, broken.DestinationHostIgnored),
        Clause("source port", FLOW, broken.SourcePortIgnored),
        Clause("destination port", FLOW, broken.DestinationPortIgnored),
        Clause("a connection has two flows, one each way", FLOW, stages.LossByConnection),
        Clause("counts its segments from 1", FLOW, broken.FirstOfFive),
        Clause("the dropped ones too", FLOW, broken.PassedOfFour),
        Clause("for the first time or again", FLOW, broken.NewOfSix),
        Clause("is a multiple of `every`", FLOW, broken.OnceOfTwo),
        Clause("(1 or more)", FLOW, broken.NeverEveryOne),
        Clause("Stages know nothing of each other", FLOW, stages.LossForAll),
    ),
    says_only=(
        "Return a stage that drops every so-many-th segment of each flow.",
        "Only segments with data are counted",
        "the whole TCP header is there",
        "Example: with every = 2",
    ),
)
