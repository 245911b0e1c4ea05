"""Who has which personal code: worked out from the class's secret seed and a student's id alone.

A code is a keyed digest (HMAC-SHA-256, RFC 2104). Whoever does not have the seed learns nothing
from any number of codes about another one. What is assumed: HMAC-SHA-256 cannot be told from
chance, and the seed, 128 random bits, stays with the staff.

Codes are for their students; the table of all of them stays in the course folder.
"""

__all__ = ["CODES_FILE", "code_of", "write_codes"]

import base64
import hashlib
import hmac
import unicodedata
from collections.abc import Iterable
from pathlib import Path

from course_lib.exercises.personal.code import LETTERS, whole_code
from instructor.output.tables import write_table

CODES_FILE = "codes.csv"
PURPOSE = b"personal code\0"  # the seed has another use: no other one gives these digests


def code_of(seed: str, student: str) -> str:
    """Return the code of a student's id, however its letters with accents are stored."""
    name = unicodedata.normalize("NFC", student.strip()).encode("utf-8", "surrogatepass")
    digest = hmac.new(seed.encode(), PURPOSE + name, hashlib.sha256).digest()
    return whole_code(base64.b32encode(digest).decode()[:LETTERS])


def write_codes(path: Path, seed: str, students: Iterable[str]) -> None:
    """Write the code of each student, as a table to be handed out row by row."""
    rows = ((student, code_of(seed, student)) for student in dict.fromkeys(students))
    write_table(path, ("student", "code"), rows)
