"""The contract of exercise 12.4, clause by clause."""

__all__ = ["NEW_TRANSLATOR"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_12.misconceptions import translator as beliefs
from instructor.units.unit_12.translator import broken
from instructor.units.unit_12.translator.questions import BACK, ERRORS, SUMS, TIME

NEW_TRANSLATOR = Contract(
    clauses=(
        Clause("the source becomes `outside`", "", broken.OutsideLeft),
        Clause("and the port of a mapping", BACK, broken.PortKept),
        Clause("A mapping joins protocol, inside address and inside port", BACK,
               broken.ByHostAlone),
        Clause("inside address and inside port to one outside port", BACK, broken.ByPortAlone),
        Clause("whoever the packet is for", BACK, broken.PerDestination),
        Clause("takes the first of `ports`", BACK, broken.SmallestFirst,
               also=(broken.LastOfPorts,)),
        Clause("that no mapping of its protocol has", BACK, broken.OnePortForBoth),
        Clause('else "full"', TIME, broken.FullIsNone, also=(beliefs.OldestMakesRoom,)),
        Clause("the destination becomes its inside address and port", BACK,
               broken.InsidePortLeft),
        Clause('Without a mapping: "no mapping"', BACK, broken.NobodyIsStranger),
        Clause("From an address to which nothing went out", BACK, broken.PortMustAnswer,
               also=(broken.AnybodyMayAnswer,)),
        Clause('by this mapping: "stranger"', BACK, broken.AnyPeerOfAll),
        Clause("All that is not named here stays as it came", BACK, broken.ServiceForgotten),
        Clause("Translators know nothing of each other", BACK, broken.Shared),
        Clause("for 120 s (UDP)", TIME, broken.LateGone, also=(broken.EarlyGone,)),
        Clause("or 7440 s (TCP)", TIME, broken.TcpDiesLate,
               also=(beliefs.OneTimeForAll, broken.TcpDiesEarly)),
        Clause("is gone", TIME, broken.PartnersStay),
        Clause("and its port free", TIME, broken.PortNeverFree),
        Clause("by which nothing went out", TIME, beliefs.FromTheFirst),
        Clause("What comes in prolongs nothing", TIME, beliefs.AnswersProlong),
        Clause("Checksums are updated by what has changed", SUMS, broken.UdpAddressesNotSummed,
               also=(broken.UdpPortsNotSummed,)),
        Clause("They carry UDP or TCP", SUMS, broken.TcpAddressesNotSummed,
               also=(broken.TcpPortsNotSummed,)),
        Clause("not computed anew: damage stays", SUMS, broken.UdpAnew,
               also=(broken.TcpAnew,)),
        Clause("A UDP checksum of 0 stays 0", SUMS, broken.ZeroIsASum),
        Clause("one that comes out as 0 is written as 0xFFFF", SUMS, broken.ZeroIsWritten),
        Clause("an ICMP error (type 3, 11 or 12)", ERRORS, broken.OnlyUnreachable,
               also=(broken.CodeForgotten,)),
        Clause("8 octets or more of a UDP packet", ERRORS, broken.LongQuotesCut),
        Clause("The quote's source port tells the mapping", ERRORS, broken.NewestIsMeant,
               also=(broken.UnknownQuotePasses,)),
        Clause("The error goes to its inside address", ERRORS, broken.OuterLeft),
        Clause("the quote's source becomes inside address and port again", ERRORS,
               broken.QuoteLeft),
        Clause("and all checksums follow", ERRORS, broken.ErrorSumLeft,
               also=(broken.QuotedHeaderSumLeft, broken.QuotedUdpSumLeft)),
        Clause("Errors may come from anybody", ERRORS, beliefs.ErrorsOfStrangers),
    ),
    says_only=(
        "Return a translator: inside hosts share the address `outside`",
        "Packets are whole, without options, as octets",
        "A call returns the packet that goes on, or a text",
        "outward(now_s, packet):",
        "inward(now_s, packet):",
        "protocol and destination port tell the mapping",
        "Times are in seconds and never go back",
        "Example:",
        'new_translator("203.0.113.5", [])',
    ),
)  # fmt: skip
