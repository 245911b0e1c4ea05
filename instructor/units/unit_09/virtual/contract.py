"""The contract of exercise 9.2, clause by clause."""

__all__ = ["NEW_INPUTS"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_09.misconceptions import virtual
from instructor.units.unit_09.virtual import broken
from instructor.units.unit_09.virtual.questions import COUNT, ORDER, REFUSED

NEW_INPUTS = Contract(
    clauses=(
        Clause("Those of several switches have nothing in common", ORDER, virtual.InputsForAll),
        Clause("with a line for each output at each input", ORDER, broken.OneLineOfThree),
        Clause("a cell comes to the end of its line", ORDER, virtual.NewestFirst),
        Clause("nothing is returned", "", broken.JoinThatTells),
        Clause("the name of the cell that crosses, or None", "", broken.EmptyForNone),
        Clause("a list for each input, which says for each output", COUNT, virtual.ByOutput),
        Clause("how many cells wait", COUNT, virtual.YesOrNo),
        Clause("and waits no more", COUNT, broken.CountOfAllThatCame),
        Clause(
            "If two inputs send to one output",
            REFUSED,
            virtual.OutputsTakeSeveral,
            also=(virtual.LowestOfThoseThatMeet,),
        ),
        Clause(
            "or one sends to an output for which it has no cell", REFUSED, virtual.WhoLacksStays
        ),
        Clause("no cell crosses at all", REFUSED, virtual.TakenUpToTheFault),
        Clause("the result is None, not a list", REFUSED, broken.ListOfNothingOfFive),
    ),
    says_only=(
        "join(input, output, name):",
        "waiting():",
        "cross(matched):",
        "matched[i] is the output to which input i sends, or None",
        "It is the first of its line",
        "There are as many outputs as inputs, 1 or more",
        "Example: with a and b at input 0",
    ),
)
