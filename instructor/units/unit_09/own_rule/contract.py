"""The contract of exercise 9.6, clause by clause."""

__all__ = ["LONGEST_FIRST"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_09.misconceptions import own_rule
from instructor.units.unit_09.own_rule import broken
from instructor.units.unit_09.own_rule.questions import EQUAL, LEFT, LONGEST

LONGEST_FIRST = Contract(
    clauses=(
        Clause("write into matched[i] the output for input i", "", own_rule.inputs_for_outputs),
        Clause("stays -1 if input i sends nothing", LEFT, broken.minus_two_for_nothing),
        Clause(
            "of all free inputs and free outputs", LONGEST, broken.outputs_of_three_take_several
        ),
        Clause("with cells between them", LEFT, broken.without_cells_of_six),
        Clause("the two with the most cells become a pair", LONGEST, broken.lowest_first_of_three),
        Clause(
            "of equals, those of the lowest input",
            EQUAL,
            own_rule.highest_input_of_equals,
        ),
        Clause("and of these the lowest output", EQUAL, own_rule.highest_output_of_equals),
        Clause(
            "until no such two are left",
            LEFT,
            broken.two_pairs_of_five,
            also=(broken.single_cells_of_five_left,),
        ),
    ),
    says_only=(
        "Match inputs to outputs",
        "waiting[i, j] cells wait at input i for output j",
        "`settings` and `memory` are not needed here",
        "`waiting` may be overwritten",
    ),
)
