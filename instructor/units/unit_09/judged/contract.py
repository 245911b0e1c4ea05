"""The contract of exercise 9.3, clause by clause."""

__all__ = ["JUDGE_MATCHING"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_09.judged import broken
from instructor.units.unit_09.judged.questions import LEGAL, MAXIMAL, MAXIMUM
from instructor.units.unit_09.misconceptions import judged

JUDGE_MATCHING = Contract(
    clauses=(
        Clause(
            "Return a verdict on a matching, and a witness: a tuple", "", broken.verdict_as_a_list
        ),
        Clause(
            "The verdict is the first of these that is true", LEGAL, judged.maximal_before_legal
        ),
        Clause("sends to an output for which it has no cell", LEGAL, judged.cells_do_not_matter),
        Clause("to one to which a lower input sends, too", LEGAL, judged.outputs_take_several),
        Clause("i is the lowest such input. (", LEGAL, judged.highest_wrong_input),
        Clause("input i and output j are both free", MAXIMAL, broken.output_of_three_may_be_taken),
        Clause("and a cell waits at i for j", MAXIMAL, broken.free_ports_of_three),
        Clause(
            "i is the lowest such input, and",
            MAXIMAL,
            broken.highest_input_of_all,
            also=(judged.lowest_output_first,),
        ),
        Clause("j the lowest such output for it", MAXIMAL, broken.highest_output_of_all),
        Clause("another matching has more pairs", MAXIMUM, broken.maximal_is_maximum_of_four),
        Clause("The path begins at a free input", MAXIMUM, broken.path_turned_round_of_five),
        Clause("and so on, until it ends at a free output", MAXIMUM, broken.one_exchange_of_six),
        Clause(
            "to another output for which that one has a cell", MAXIMUM, broken.path_without_cells
        ),
        Clause('("maximum", [])', MAXIMUM, broken.pairs_as_witness),
    ),
    says_only=(
        "waiting[i][j] cells wait at input i for output j",
        '("not legal", [i]):',
        '("not maximal", [i, j]):',
        '("not maximum", path):',
        "no matching has more pairs",
        "No input and no output is on it twice",
        "No call has more than one such path",
        'Example: ("not maximum", [1, 0, 0, 1])',
    ),
)
