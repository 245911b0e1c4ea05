"""What `hopbyhop grade --explain TOPIC` says: what is worth knowing now and then, a screen each."""

__all__ = ["TOPICS"]

TOPICS = {
    "upload": """\
The table for an upload page is upload.csv. Without more it has a row for each
student: the id, the points of each unit, all points, and whether something
waits for a person. To give it another shape, put a file upload.toml into the
course folder (or name one with --columns):

    delimiter = ";"              # "," or ";" or a tab; "," if left out
    decimal = ","                # "." or ","; "." if left out
    rows = "student"             # or "hand-in": a row for each workbook

    [[column]]
    title = "ID"
    holds = "student"            # or unit, points, max points, percent,
                                 # penalty, waiting, text
    [[column]]
    title = "Headers"
    holds = "points"
    unit = "01-frames-and-headers"    # left out: all units together
    missing = "0"                # for those without a hand-in; else left empty

Points are the gradebook's: by machine, by hand, extra credit, less what being
late costs, and without what somebody is excused from.""",
    "hand-ins": """\
What is graded is a folder or an archive as an upload page makes it (.zip,
.tar, .tar.gz), laid out as the gradebook's tools do,

    alder/01-frames-and-headers/01-frames-and-headers.ipynb

or files side by side, whose names begin with the student's id:

    alder_01-frames-and-headers.ipynb

In a folder, an archive is what one student handed in. Nothing is unpacked to
the disk. Whether a file is a workbook is told by what is in it, not by its
name. Every file of a student who has no workbook for a unit has a line that
says what is needed. Of two workbooks of one time that are not the same none is
graded: leave the right one there.

Files side by side say nothing about when they came that can be believed. In a
unit with a deadline you are then asked, unless there is a table handed-in.csv
beside them, made from the upload page's own report, each time with its offset
from UTC:

    student,unit,time
    alder,01-frames-and-headers,2026-05-04T14:00:00+02:00""",
    "progress": """\
How often people tried and how long they worked is in no hand-in. Whoever wants
to tell hands over a copy of the file progress.json that lies beside their
workbooks. Put these into the folder `progress` of the course folder,

    course/progress/alder.json
    course/progress/bracken/progress.json

or copy there what the room has shared for the board: those names say nothing of
whose they are. The statistics then tell attempts and minutes of each exercise,
of groups of five or more. Nothing of it counts for points, nobody has to, and
`hopbyhop forget` deletes it with the rest.""",
    "course": """\
The settings of a course folder are a program. So a folder is taken for one
only if you name it with --course, or if it bears the seal that `release` put
on it with this account, on this machine; never because of what lies among the
hand-ins. Keep it where no student can write.

When hand-ins are due, who has longer or is excused, and what being late costs,
say with `hopbyhop deadlines`, and who is in the class with `hopbyhop roster`.
A deadline in the gradebook counts only for units that have none there. To keep
the gradebook in a database, set c.CourseDirectory.db_url in
nbgrader_config.py, without a password, and the gradebook's own tools use it.
They know nothing of excuses: counted.csv and upload.csv do.

Scores and hand-ins are about persons. Use ids in place of names; keep, share
and delete them as the rules of your site and the law say; publish none of it.""",
    "copies": """\
Students read the course's library as a textbook, so some hand in parts of it.
Answers that have much in common with a function of the library are listed in
library.csv and on the summary, whatever was done to names, order and layout;
that says nothing about why. They keep their points (--library-copies look)
until you choose that they earn none (no-points); then the student reads why,
and points that you give by hand in the gradebook stay. To choose for good, put
this line into nbgrader_config.py:

    c.HopByHop.library_copies = "no-points"

A later run with the other choice changes the points of such answers alone,
runs nothing again, and says whose points changed. An answer that imports the
library earns nothing either way, as the workbook tells the student at once.
While it runs, an answer cannot import the library.""",
    "cluster": """\
With --cluster, workers of other machines examine; gradebook and pages are
written here as ever. Each worker needs a checkout of this very version of the
course, the same Python and bubblewrap; it opens a sandbox and tries its walls
itself, and one that does not fit is named and gets nothing. Workers may end
and others may come while grading goes on. On each machine:

    dask worker tcp://scheduler.example.com:8786 --nworkers auto --nthreads 1

Whoever can reach a scheduler can run programs on it and on all its workers,
and read what passes: keep it in a closed network, or set up TLS in Dask's own
configuration. What travels is the text of workbooks, cases and points, each
under the student's id: these are student records. Whether they may leave this
machine, and for which others, your site's rules say.""",
}
