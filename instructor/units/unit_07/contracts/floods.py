"""The contract of exercise 7.4, clause by clause."""

__all__ = ["NEW_FLOODER"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_07.broken_clauses import floods as broken
from instructor.units.unit_07.questions.floods import CONFIRMED, NEWER, OLD, WHOM

NEW_FLOODER = Contract(
    clauses=(
        Clause("the newer one has the larger sequence number", NEWER, broken.WrongWayRound),
        Clause("if these are equal, the larger checksum", NEWER, broken.ChecksumTurned),
        Clause("and only one copy is 3600 s old, it is that one", NEWER, broken.DeadCounts),
        Clause("if the ages lie more than 900 s apart, the younger one", NEWER, broken.OlderAge),
        Clause("Otherwise both are the same copy", NEWER, broken.AnyAgeCounts,
               also=(broken.EqualIsNew,)),
        Clause("32 bits read as a signed number", NEWER, broken.Unsigned,
               also=(broken.UntilSigned,)),
        Clause("returns whom to send what, as a dictionary", "", broken.InPairs),
        Clause("is kept in its place", OLD, broken.Replaced),
        Clause("all other neighbours get it", WHOM, broken.ForgetsTheLast,
               also=(broken.ToTheSender,)),
        Clause('and this one "ack"', WHOM, broken.NoAckForOne),
        Clause("The same copy as the one kept is not kept again", OLD, broken.KeptAgain),
        Clause('and answered with "ack"', WHOM, broken.NoAckForTheSame),
        Clause("this neighbour gets the one kept", OLD, broken.OldConfirmed,
               also=(broken.OldIgnored, broken.OldToAll)),
        Clause("if it is 3600 s old, is not kept", OLD, broken.DeadKept,
               also=(broken.DeadSpread,)),
        Clause('this neighbour gets "ack", nobody else anything', OLD, broken.NothingForTheDead,
               also=(broken.DeadForAll,)),
        Clause("in the order of `sorted`", CONFIRMED, broken.TurnedForTwo),
        Clause("who was sent a copy as one of all others", CONFIRMED, broken.SentBackStays),
        Clause("A neighbour confirms by confirm(neighbour, copy)", CONFIRMED,
               broken.NeverConfirmed, also=(broken.AlikeOnly,)),
        Clause("which returns None", CONFIRMED, broken.ConfirmTells),
        Clause("or by sending the same copy itself", CONFIRMED, broken.StillOpen),
        Clause("receive then returns an empty dictionary", CONFIRMED, broken.AckForItself),
        Clause("not the same as the one kept confirms nothing", CONFIRMED, broken.OfAnything),
        Clause("nobody is waited for any more for the old one", CONFIRMED,
               broken.SenderStays),
        Clause("Objects know nothing of each other", WHOM, broken.Shared),
    ),
    says_only=(
        "Return an object that keeps the newest copy about each router, and spreads it",
        "A copy is a tuple:",
        "the router it is about, sequence number, checksum, age in seconds",
        "the highest bit makes it negative",
        "Copies do not age here",
        "An age is from 0 to 3600",
        'Example: with neighbours ["Gull", "Reed"]',
        '("Heron", 5, 7, 10), "Gull": "ack"}',
    ),
)  # fmt: skip
