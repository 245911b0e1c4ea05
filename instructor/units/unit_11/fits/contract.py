"""The contract of exercise 11.6, clause by clause."""

__all__ = ["FIT_EXPONENT"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_11.fits import broken

WHICH, EXPONENT, INTERVAL = "which runs count", "the exponent", "the interval"

FIT_EXPONENT = Contract(
    clauses=(
        Clause("how far its interval reaches: a tuple", "", broken.ListForTuple),
        Clause("the first of these that holds", WHICH, broken.last_reason),
        Clause("if fewer than 10 were lost", WHICH, broken.ten_is_few),
        Clause(
            "if the window is above 0.9 * largest",
            WHICH,
            broken.full_at_the_top,
            also=(broken.nine_tenths_are_full,),
        ),
        Clause("if it is below 4", WHICH, broken.four_is_small),
        Clause("come from the runs that count", EXPONENT, broken.fits_all),
        Clause(
            "The loss of a run is lost / sent",
            EXPONENT,
            broken.counts_losses,
            also=(broken.compares_with_arrived,),
        ),
        Clause("the natural logarithm of the loss", EXPONENT, broken.takes_loss_as_it_is),
        Clause("and y that of the window", EXPONENT, broken.takes_window_as_it_is),
        Clause("The exponent is the slope", EXPONENT, broken.leaves_off_the_sign),
        Clause(
            "the squares of the vertical distances, y minus line, have the smallest sum",
            EXPONENT,
            broken.goes_from_end_to_end,
            also=(
                broken.goes_through_the_origin,
                broken.takes_the_mean_of_slopes,
                broken.exchanges_axes,
            ),
        ),
        Clause("Nothing is rounded", EXPONENT, broken.RoundedExponent),
        Clause("To each side the interval reaches", INTERVAL, broken.gives_the_whole_width),
        Clause("student[n - 2]", INTERVAL, broken.asks_student_for_all),
        Clause("root(", INTERVAL, broken.takes_no_root),
        Clause("S / (n - 2)", INTERVAL, broken.divides_by_all),
        Clause(
            "sum of (x - mean of x)²",
            INTERVAL,
            broken.divides_by_the_variance,
            also=(broken.forgets_where_x_lies,),
        ),
    ),
    says_only=(
        "In run i, sent[i] packets were sent",
        "where n runs count: 3 at least, with two different losses at least",
        'else "counts"',
        "`student` tells Student's numbers",
        "whoever wants no interval gives zeros",
        "Example:",
        "for 100,000 packets in each run",
    ),
)
