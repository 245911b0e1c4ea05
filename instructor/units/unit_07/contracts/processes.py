"""The contract of exercise 7.6, clause by clause."""

__all__ = ["NEW_PROCESS"]

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_07.broken_clauses import processes as broken
from instructor.units.unit_07.misconceptions.processes import CutIsNoLoss, CutRemoves
from instructor.units.unit_07.questions.processes import CUT, TELLING, TIME

NEW_PROCESS = Contract(
    clauses=(
        Clause("with the metric 1", TELLING, broken.OwnAtNothing),
        Clause("neighbours stand in the order of `costs`", TELLING, broken.InOrder),
        Clause("goes into one message", TELLING, broken.FourthMessage),
        Clause("poisoned reverse is used", TELLING, broken.NotPoisoned),
        Clause("unreachable destinations too", TELLING, broken.TableOfReachable),
        Clause("announce(now_s) returns a regular update", TELLING, broken.LostLeftOut),
        Clause("The other calls return a triggered update", "", broken.Nothing),
        Clause("whose metric or next hop is another one than before the call", TELLING,
               broken.WholeTable, also=(broken.AlwaysTold,)),
        Clause("or that are new", TELLING, broken.NewNotTold),
        Clause("takes an update in, as in 7.1", "", broken.NoLine),
        Clause("all routes through that neighbour become unreachable at once", CUT,
               CutIsNoLoss, also=(CutRemoves,)),
        Clause("a route of others", TIME, broken.OwnAreOld),
        Clause("last confirmed 180 s ago or earlier becomes unreachable", TIME, broken.LateLate,
               also=(broken.LateAtOnce,)),
        Clause("one that became unreachable 120 s ago or earlier", TIME, broken.GoesLate,
               also=(broken.NeverGoes,)),
        Clause("and nobody is told", TIME, broken.TellsTheEnd),
        Clause("A route is confirmed whenever its own next hop tells of it", TIME,
               broken.UnchangedConfirmsNot, also=(broken.AnyoneConfirms, broken.BadConfirms)),
        Clause("To hear 16 once more changes no time", TIME, broken.BeginsAnew),
        Clause("What comes over a line that is cut is ignored", CUT, broken.HeardInSpite),
        Clause("nobody is told anything over it", CUT, broken.ToldInSpite),
        Clause("says that it works again", CUT, broken.MendStaysCut),
        Clause("returns a regular update for that neighbour", CUT, broken.MendSilent),
        Clause("for that neighbour alone", CUT, broken.MendForTwo),
        Clause("Processes know nothing of each other", TELLING, broken.Shared),
    ),
    says_only=(
        "Return a process that finds routes together with its neighbours",
        "`networks` are our own",
        "`costs` maps our neighbours",
        "Tables, entries and messages are as in exercises 7.1 and 7.2",
        "receive(now_s, neighbour, update)",
        "cut(now_s, neighbour) says that a line is cut",
        "tick(now_s) does what is due",
        "Times are in seconds and never go back",
        'Example: new_process(["Quay"], {"Gull": 1})',
    ),
)  # fmt: skip
