"""The contract of exercise 9.4, clause by clause."""

__all__ = ["NEW_MATCHER"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_09.matcher import broken
from instructor.units.unit_09.matcher.questions import ONE, POINTERS, ROUNDS
from instructor.units.unit_09.misconceptions import matcher

NEW_MATCHER = Contract(
    clauses=(
        Clause("Matchers have nothing in common", POINTERS, matcher.MatcherForAll),
        Clause("Return a list of rounds", "", matcher.AllRoundsTogether),
        Clause("the list of pairs (input, output) that it adds", "", matcher.OutputsFirst),
        Clause("in the order of inputs", ONE, broken.OrderOfOutputsOfThree),
        Clause("Rounds go on until one adds nothing", ROUNDS, broken.TwoRoundsOfFive),
        Clause("which is left out", ROUNDS, broken.LastOfTwoRoundsOfFive),
        Clause(
            "every free input requests all outputs for which it has cells",
            ONE,
            broken.LowestRequestOfThree,
        ),
        Clause(
            "Each free output grants one request: the first at or after its pointer",
            ONE,
            broken.LongestOfThree,
        ),
        Clause("with port 0 behind the last one", POINTERS, matcher.EndsAtTheLastPort),
        Clause("Each input accepts one grant", ONE, broken.AllOfThreeAccepted),
        Clause("likewise, the first at or after its pointer", POINTERS, matcher.AcceptsTheLowest),
        Clause(
            "are not free in later rounds",
            ROUNDS,
            broken.MatchedInputsOfSixRequest,
        ),
        Clause(
            "Pointers move in the first round of a slot only", POINTERS, matcher.MovesInEveryRound
        ),
        Clause("only those of the two ports of a pair", POINTERS, broken.MovesOnGrantOfFour),
        Clause(
            "each to the port behind its partner",
            POINTERS,
            matcher.PointsAtThePartner,
            also=(broken.InputsPointAtThePartner,),
        ),
    ),
    says_only=(
        "match(waiting):",
        "one slot;",
        "in which each output and each input has a pointer, at port 0 at first",
        "waiting[i][j] cells wait at input i for output j",
        "Ports are 1 or more",
        "Example: with cells everywhere",
    ),
)
