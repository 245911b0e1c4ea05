"""Answers to exercise 1.1 that try to tell what they were asked, in every way there is.

Each finds all inputs that its process was sent, and says them: in hexadecimal, backwards, as a
number and in base 64. Some are right as long as they see the public cases alone.
"""

import base64
import contextlib

from course_lib.exercises.registry import public_cases
from instructor.units.items import item, source_of

PUBLIC = len(public_cases("1.1"))
RIGHT = source_of(item("1.1").answer).replace("read_word", "right")
FIND = """
import base64, json, os, pathlib, sys, tempfile
def asked():
    frame = sys._getframe()
    while frame is not None:
        for thing in list(frame.f_locals.values()):
            if isinstance(thing, dict) and "cases" in thing:
                return thing["cases"]
        frame = frame.f_back
def ways(octets):
    yield octets.hex()
    yield octets.hex()[::-1]
    yield str(int.from_bytes(octets, "big"))
    yield base64.b64encode(octets).decode()
ALL = [bytes.fromhex(case[0]["octets"]) for case in asked()]
NEW = [one for one in ALL if 5 < len(one)]
WAYS = [way for one in NEW for way in ways(one)]
TOLD = " ".join(WAYS)
IS_SECRET = len(ALL) != PUBLIC_CASES
"""

SAYS = {
    "raises": "raise ValueError(TOLD)",
    "raises-what-it-made-up": "raise type(WAYS[-4], (Exception,), {})(TOLD)",
    "raises-an-old-error": "raise NotImplementedError(TOLD)",
    "exits": "sys.exit(TOLD)",
    "prints-and-ends": "print(TOLD, file=sys.stderr, flush=True); os._exit(3)",
    "warns": "import warnings; warnings.warn(TOLD); 1 / 0",
    "is-no-python": "compile('(' * 3 + TOLD, WAYS[-1], 'exec')",
    "forges-an-end": "os.write(3, json.dumps({'ended': TOLD}).encode() + b'\\n'); os._exit(0)",
    "forges-a-reply": "os.write(3, json.dumps({'case': 0, 'raised': TOLD, 'kinds': [TOLD]})"
    ".encode() + b'\\n'); os._exit(0)",
}
RETURNS = {
    "text": "TOLD",
    "octets": "NEW[-1]",
    "a-list": "[list(one) for one in NEW]",
    "an-object-of-a-made-up-kind": "type(WAYS[-4], (), {})()",
    "an-object-that-fights": "type('L', (list,), {'__iter__': lambda s: "
    "exec('raise E', {'E': type(WAYS[-4], (Exception,), {})})})()",
    "a-number": "int.from_bytes(NEW[-1], 'big')",
}
SEES_A_FILE = """
NOTE = pathlib.Path(tempfile.gettempdir()) / "{name}"
def read_word(data, offset):
    if IS_SECRET:
        NOTE.write_text(TOLD)
    raise ValueError(NOTE.read_text() if NOTE.exists() else "")
"""
ON_LOADING = """
def tell():
    WHAT
KEY = tell() if IS_SECRET else 0
def read_word(data, offset):
    return right(data, offset) + KEY
"""


def _answer(text: str) -> str:
    return RIGHT + FIND.replace("PUBLIC_CASES", str(PUBLIC)) + text


def _called(what: str, always: bool) -> str:
    guard = "" if always else "    if not IS_SECRET: return right(data, offset)\n"
    return f"def read_word(data, offset):\n{guard}    {what}\n"


def telling_answers(note: str) -> dict[str, str]:
    """Return the answers by name; one of them leaves a file called `note` behind."""
    answers = {"leaves-a-file": SEES_A_FILE.replace("{name}", note)}
    ways = SAYS | {f"returns-{name}": f"return {value}" for name, value in RETURNS.items()}
    for name, what in ways.items():
        answers[f"{name}-always"] = _called(what, always=True)
        answers[f"{name}-where-secret"] = _called(what, always=False)
    for name, what in SAYS.items():
        answers[f"{name}-on-loading"] = ON_LOADING.replace("WHAT", what)
    return {name: _answer(text) for name, text in answers.items()}


def forms(octets: bytes) -> set[str]:
    """Return how an input may look where it has been told."""
    number = str(int.from_bytes(octets, "big"))
    whole = {
        octets.hex(), octets.hex()[::-1], octets.hex(" ", -2), number, repr(octets)[2:-1],
        str(list(octets))[1:-1], base64.b64encode(octets).decode(),
    }  # fmt: skip
    with contextlib.suppress(UnicodeDecodeError):
        whole.add(octets.decode())
    return {one[:24] for one in whole if len(one) >= 12}
