"""The contract of exercise 12.3, clause by clause."""

__all__ = ["NEW_MONITOR"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_12.misconceptions import monitors
from instructor.units.unit_12.monitors import broken

SPOOFED, SWEEPS, MEMORY = "spoofed sources", "sweeps", "memory"

NEW_MONITOR = Contract(
    clauses=(
        Clause("a prefix with several ways stands there several times", SPOOFED,
               monitors.MonitorOfOneWay),
        Clause(
            "Of the prefixes that cover the source the longest one counts",
            SPOOFED,
            broken.ByTheShortest,
            also=(monitors.MonitorByAnyPrefix, monitors.MonitorByTheFirst),
        ),
        Clause(
            "the packet must come by one of its ways", SPOOFED, broken.BlindOfTwo,
            also=(monitors.MonitorThatAsksForAWay,),
        ),
        Clause("A source that no prefix covers is spoofed", SPOOFED,
               monitors.MonitorThatTrustsStrangers),
        Clause("Such a packet counts for nothing else", SPOOFED,
               monitors.MonitorThatAccusesTheNamed),
        Clause("`ports` or more", SWEEPS, broken.OneMoreOfFive),
        Clause("different ports", SWEEPS, monitors.MonitorOfPackets),
        Clause("of one destination", SWEEPS, monitors.MonitorOfSources,
               also=(monitors.MonitorOfDoors,)),
        Clause("by one source", SWEEPS, monitors.MonitorOfHosts),
        Clause(
            "less than `window_s` before now_s", SWEEPS, broken.EndlessOfFour,
            also=(
                monitors.MonitorWithoutEnd, broken.InclusiveOfItsEnd, broken.ShortOfItsEnd,
            ),
        ),
        Clause("if it was last asked for", SWEEPS, monitors.MonitorOfFirstTimes),
        Clause("The alarm comes once, with the packet that makes them enough", SWEEPS,
               monitors.MonitorOnEachPacket),
        Clause("and again only after a packet of this pair at which they were fewer", SWEEPS,
               broken.OnceOfThree,
               also=(monitors.MonitorThatBeginsAgain, broken.FewerByTheClock,
                     broken.ForgivesElsewhere)),
        Clause("the monitor remembers `most` (1 or more)", MEMORY, monitors.MonitorWithoutLimit,
               also=(broken.OneLess,)),
        Clause(
            "it forgets all of the pair from which nothing has come for longest",
            MEMORY,
            monitors.MonitorThatForgetsTheFirst,
            also=(
                monitors.MonitorThatIsFull,
                monitors.MonitorThatForgetsAll,
                broken.KeepsWhomItTold,
            ),
        ),
    ),
    says_only=(
        "Return a monitor that has seen nothing yet.",
        "is told of every packet: when and by which interface it came, and its destination port.",
        "It returns a list: empty, or with one alarm, a tuple of three texts.",
        '("spoofed", source, interface):',
        "nobody with this source can be there.",
        "`routes` lists tuples (prefix, interface), in any order;",
        '("sweep", source, destination):',
        "They are counted as each packet of this pair comes, with its own port.",
        "Example: [(\"spoofed\"",
    ),
)  # fmt: skip
