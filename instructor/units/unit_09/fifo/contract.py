"""The contract of exercise 9.1, clause by clause."""

__all__ = ["CROSS_ONCE"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_09.fifo import broken
from instructor.units.unit_09.fifo.questions import BLOCKED, CROSSES
from instructor.units.unit_09.misconceptions import fifo

CROSS_ONCE = Contract(
    clauses=(
        Clause("a tuple of two lists", "", broken.two_lists_in_a_list),
        Clause("and one cell to each output", CROSSES, broken.all_of_two_cross),
        Clause(
            "that of the longest line crosses", CROSSES, broken.lowest_input_where_nobody_is_blocked
        ),
        Clause(
            "of lines that are equally long, that of the lowest input",
            CROSSES,
            broken.highest_of_equals_where_nobody_is_blocked,
        ),
        Clause("None if none does", CROSSES, broken.minus_one_for_an_empty_line),
        Clause("Only the first of a line may cross", BLOCKED, broken.only_one_passes),
        Clause(
            "for each output to which nobody sends", BLOCKED, broken.busy_where_somebody_is_blocked
        ),
        Clause(
            "at an input whose first cell lost",
            BLOCKED,
            broken.winners_block_where_somebody_is_blocked,
        ),
        Clause("`by` is the input that it lost to", BLOCKED, broken.lowest_rival_blocks),
        Clause("in the order of inputs, then of outputs", BLOCKED, fifo.in_the_order_of_the_line),
        Clause("each only once", BLOCKED, fifo.every_cell_counts),
    ),
    says_only=(
        "Return which cells cross in one slot, and which are blocked:",
        "The first list says for each input to which output its cell crosses",
        "lines[i] holds the cells that wait at input i",
        "There are as many outputs as inputs, 1 or more",
        "Example: ([0, None, 1], [(1, 2, 0)])",
    ),
)
