"""The contract of exercise 8.4, clause by clause."""

__all__ = ["NEW_ROUND_ROBIN"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_08.misconceptions import rounds
from instructor.units.unit_08.rounds import broken

NEW_ROUND_ROBIN = Contract(
    clauses=(
        Clause("Schedulers have nothing in common", "the order of the list", rounds.RoundForAll),
        Clause("behind those in its queue", "the order of the list", broken.RoundOfTheNewestOfFour),
        Clause("and nothing is returned", "", broken.RoundThatTellsHowMany),
        Clause(
            "joins the end of the list",
            "the order of the list",
            rounds.RoundByNumber,
        ),
        Clause("and so on, all in this `send`", "", rounds.RoundThatGivesUp),
        Clause("the tuple (queue, octets)", "", rounds.RoundWithOctetsFirst),
        Clause("None if none waits", "the order of the list", broken.RoundThatFailsWhenEmpty),
        Clause("earns its quantum", "fair in octets", rounds.RoundOfOneQuantum),
        Clause(
            "If its first packet is larger than its credit",
            "fair in octets",
            rounds.RoundThatWantsMore,
        ),
        Clause("keeps the credit", "what is kept", broken.RoundThatForgetsIfEven),
        Clause(
            "until a later `send` finds its next packet too large",
            "the order of the list",
            broken.RoundOfFourThatMovesAtOnce,
        ),
        Clause(
            "Else the packet is sent and paid for. The queue then stays at the head",
            "fair in octets",
            broken.RoundOfOnePacketEachIfUneven,
        ),
        Clause("earns nothing more there", "fair in octets", broken.RoundThatEarnsForEachIfUneven),
        Clause("it leaves the list at once", "what lapses", rounds.RoundThatLeavesLate),
        Clause("and its credit lapses", "what lapses", rounds.RoundThatKeepsAll),
    ),
    says_only=(
        "Return a scheduler for as many queues as there are quanta",
        "join(queue, octets):",
        "send():",
        "It keeps a list of the queues in which packets wait",
        "Queues count from 0; quanta and octets are whole, 1 or more",
        "Example: with quanta [500, 500]",
    ),
)
