"""The contract of exercise 12.4, clause by clause."""

__all__ = ["NEW_TRANSLATOR"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_12.misconceptions import translator as beliefs
from instructor.units.unit_12.translator import broken_errors as errors
from instructor.units.unit_12.translator import broken_mappings as mappings
from instructor.units.unit_12.translator import broken_sums as sums
from instructor.units.unit_12.translator import broken_times as times
from instructor.units.unit_12.translator.questions import BACK, ERRORS, SUMS, TIME

NEW_TRANSLATOR = Contract(
    clauses=(
        Clause("the source becomes `outside`", "", mappings.OutsideLeft),
        Clause("and the port of a mapping", BACK, mappings.PortKept),
        Clause("A mapping joins protocol, inside address and inside port", BACK,
               mappings.ByHostAlone),
        Clause("inside address and inside port to one outside port", BACK, mappings.ByPortAlone),
        Clause("whoever the packet is for", BACK, mappings.PerDestination),
        Clause("takes the first of `ports`", BACK, mappings.SmallestFirst,
               also=(mappings.LastOfPorts,)),
        Clause("that no mapping of its protocol has", BACK, mappings.OnePortForBoth),
        Clause('else "full"', TIME, times.FullIsNone, also=(beliefs.OldestMakesRoom,)),
        Clause("the destination becomes its inside address and port", BACK,
               mappings.InsidePortLeft),
        Clause('Without a mapping: "no mapping"', BACK, mappings.NobodyIsStranger),
        Clause("From an address to which nothing went out", BACK, mappings.PortMustAnswer,
               also=(mappings.AnybodyMayAnswer,)),
        Clause('by this mapping: "stranger"', BACK, mappings.AnyPeerOfAll),
        Clause("Octets that are not named here stay as they came", BACK, mappings.ServiceForgotten),
        Clause("Translators know nothing of each other", BACK, mappings.Shared),
        Clause("for 120 s (UDP)", TIME, times.LateGone, also=(times.EarlyGone,)),
        Clause("or 7440 s (TCP)", TIME, times.TcpDiesLate,
               also=(beliefs.OneTimeForAll, times.TcpDiesEarly)),
        Clause("is gone", TIME, times.PartnersStay),
        Clause("and its port free", TIME, times.PortNeverFree),
        Clause("by which nothing went out", TIME, beliefs.FromTheFirst),
        Clause("What comes in prolongs nothing", TIME, beliefs.AnswersProlong),
        Clause("Checksums are updated by what has changed", SUMS, sums.UdpAddressesNotSummed,
               also=(sums.UdpPortsNotSummed,)),
        Clause("They carry UDP or TCP", SUMS, sums.TcpAddressesNotSummed,
               also=(sums.TcpPortsNotSummed,)),
        Clause("not computed anew: damage stays", SUMS, sums.UdpAnew,
               also=(sums.TcpAnew,)),
        Clause("A UDP checksum of 0 stays 0", SUMS, sums.ZeroIsASum),
        Clause("one that comes out as 0 is written as 0xFFFF", SUMS, sums.ZeroIsWritten,
               also=(sums.TcpZeroIsNotWritten,)),
        Clause("an ICMP error (type 3, 11 or 12)", ERRORS, errors.OnlyUnreachable,
               also=(errors.CodeForgotten,)),
        Clause("8 octets or more of a UDP packet", ERRORS, errors.LongQuotesCut),
        Clause("The quote's source port tells the mapping", ERRORS, errors.NewestIsMeant,
               also=(errors.UnknownQuotePasses,)),
        Clause("The error goes to its inside address", ERRORS, errors.OuterLeft),
        Clause("the quote's source becomes inside address and port again", ERRORS,
               errors.QuoteLeft),
        Clause("and all checksums follow", ERRORS, errors.ErrorSumLeft,
               also=(errors.QuotedHeaderSumLeft, errors.QuotedUdpSumLeft)),
        Clause("Errors may come from anybody", ERRORS, beliefs.ErrorsOfStrangers),
    ),
    says_only=(
        "Return a translator: inside hosts share the address `outside`",
        "Packets are whole, without options, as octets",
        "inward, they are for `outside`, and some are ICMP errors as below",
        "No others come",
        "A call returns the packet that goes on, or a text",
        "outward(now_s, packet):",
        "inward(now_s, packet):",
        "protocol and destination port tell the mapping",
        "Times are in seconds and never go back",
        "Example:",
        'new_translator("203.0.113.5", [])',
    ),
)  # fmt: skip
