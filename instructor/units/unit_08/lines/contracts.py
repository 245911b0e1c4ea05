"""The contracts of exercises 8.1 and 8.2, clause by clause."""

__all__ = ["THREE_MEANS", "WAITS_IN_LINE"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_08.lines import broken
from instructor.units.unit_08.misconceptions import lines, records

WAITS_IN_LINE = Contract(
    clauses=(
        Clause("Return a list:", "", broken.waits_as_a_tuple),
        Clause("until its sending begins", "", lines.wait_with_own_sending),
        Clause("dropped, and its wait None", "no room", broken.zero_for_the_last),
        Clause(
            "in the order in which they came",
            "who waits how long",
            broken.shortest_of_different_moments,
        ),
        Clause(
            "one at a time, as soon as it can",
            "who waits how long",
            broken.saved_where_there_is_room,
        ),
        Clause(
            "those that wait, and the one that is being sent",
            "no room",
            broken.room_for_one_beside,
        ),
        Clause("takes no room", "no room", lines.dropped_takes_room),
        Clause("and no time", "no room", broken.dropped_takes_an_idle_line),
        Clause(
            "Who leaves at the moment when another comes has left",
            "at the same moment",
            lines.leaves_after_the_next,
        ),
        Clause(
            "Packets that come at the same moment come in the order of the lists",
            "at the same moment",
            broken.turned_round_where_there_is_room,
        ),
    ),
    says_only=(
        "packet i came at came_ms[i], and its sending takes takes_ms[i]",
        "All numbers are whole; times never go back; sending takes 1 or more; there is room "
        "for 1 or more, and at least one packet comes.",
        "Example: [0, 2, None, 0]",
    ),
)

THREE_MEANS = Contract(
    clauses=(
        Clause("the mean time inside: a tuple", "", broken.means_as_a_list),
        Clause("idle time included", "a whole run", broken.means_of_a_busy_run),
        Clause("None of the three is rounded", "a whole run", broken.means_rounded_from_the_start),
        Clause(
            "of how many are inside, whenever they came",
            "a window",
            records.means_of_those_who_came,
            also=(records.means_by_the_law,),
        ),
        Clause(
            "how many packets came in the window, for each of its ms",
            "a window",
            broken.means_at_departures_between,
            also=(records.means_at_departures,),
        ),
        Clause(
            "one that came at `from_ms` came in it", "a window", records.means_without_the_start
        ),
        Clause("one that came at `to_ms` came after it", "a window", records.means_with_the_end),
        Clause(
            "whole times inside, even beyond the window's end",
            "a window",
            records.means_of_clipped_times,
        ),
        Clause("None if there is no such packet", "a window", records.no_time_is_zero),
        Clause(
            "Dropped packets count nowhere",
            "dropped packets",
            records.means_of_dropped_arrivals,
            also=(records.means_of_dropped_times, records.means_of_dropped_who_stay),
        ),
    ),
    says_only=(
        "Packet i is inside from came_ms[i] to left_ms[i]; None says that it was dropped",
        "All given numbers are whole; `came_ms` never goes back, `left_ms` is in no order; the "
        "window is 1 ms or longer.",
        "Example: (1.0, 0.2, 5.0)",
    ),
)
