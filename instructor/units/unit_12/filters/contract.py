"""The contract of exercise 12.2, clause by clause."""

__all__ = ["NEW_FILTER"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_12.filters import broken
from instructor.units.unit_12.misconceptions import filters

RULES, PORTS, FRAGMENTS = "rules", "ports", "fragments"

NEW_FILTER = Contract(
    clauses=(
        Clause('or "tell": drop it, and tell the sender', RULES, broken.TellsNobody),
        Clause("options perhaps among it", PORTS, filters.FilterOfShortHeaders),
        Clause(
            "if the prefixes cover source and destination",
            RULES,
            filters.FilterByDestination,
            also=(broken.BySource, broken.WholeOnesByEitherEnd),
        ),
        Clause("if protocol is None or the packet's", RULES, broken.OfAllProtocols),
        Clause(
            "the packet is TCP or UDP",
            PORTS,
            filters.FilterOfAnyProtocol,
            also=(filters.FilterThatPassesOverPorts,),
        ),
        Clause(
            "its destination port",
            PORTS,
            filters.FilterOfSourcePorts,
            also=(filters.FilterOfEitherPort,),
        ),
        Clause(
            "is one of these", PORTS, filters.FilterWithoutTheLast, also=(broken.WithoutTheFirst,)
        ),
        Clause(
            "The first rule that fits decides",
            RULES,
            filters.FilterByTheLast,
            also=(filters.FilterByTheNarrowest, filters.FilterThatPassesIfAnyDoes),
        ),
        Clause("`otherwise` decides if none does", RULES, broken.ClosesWhole),
        Clause(
            "carries no ports",
            FRAGMENTS,
            broken.ReadsOnInTCP,
            also=(filters.FilterThatReadsOn, broken.OctetOfOffset),
        ),
        Clause(
            "It passes if the first one of its datagram came before it and passed",
            FRAGMENTS,
            broken.DropsTheRestOfICMP,
            also=(
                filters.FilterThatDropsTheRest,
                filters.FilterThatPassesWhatItKnows,
                broken.RulesAreRemembered,
            ),
        ),
        Clause(
            "else drop it in silence",
            FRAGMENTS,
            broken.PassesTheRestOfUDP,
            also=(
                filters.FilterThatPassesTheRest,
                filters.FilterThatTellsOfEach,
                broken.OtherwiseForOrphans,
            ),
        ),
        Clause(
            "share source, destination, protocol and identification",
            FRAGMENTS,
            broken.WithoutNumber,
            also=(
                broken.WithoutSource,
                broken.WithoutDestination,
                broken.WithoutProtocol,
                filters.FilterByNumber,
            ),
        ),
        Clause(
            "Of TCP, drop in silence a first fragment (more fragments to come) with fewer than "
            "16 octets behind the IPv4 header",
            FRAGMENTS,
            filters.FilterThatPassesShortOnes,
            also=(filters.FilterThatFearsAllShortOnes, broken.SixteenIsShort, broken.LongByOptions),
        ),
        Clause("any fragment with offset 1", FRAGMENTS, filters.FilterThatPassesTheSecond),
        Clause(
            "only the `most` (1 or more) datagrams whose first fragments passed last",
            FRAGMENTS,
            filters.FilterThatNeverForgets,
            also=(
                filters.FilterThatForgetsTheNewest,
                filters.FilterThatRenews,
                broken.RemembersWholeOnes,
                broken.WholeIsAPiece,
            ),
        ),
    ),
    says_only=(
        "Return a filter that remembers nothing yet.",
        'judge(packet) returns "pass"; "drop";',
        "It is sound, and of TCP (protocol 6) and UDP (17) all ports are there.",
        "A rule is a tuple (source, destination, protocol, ports, verdict):",
        'two prefixes such as "203.0.113.0/24";',
        "a number or None; the first and the last port, or None;",
        '"pass", "drop" or "tell".',
        "Fragments (RFC 1858):",
        "no first one comes twice",
        'Example: "tell" for rules',
    ),
)
