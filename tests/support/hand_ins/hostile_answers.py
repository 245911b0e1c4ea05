"""Answers to exercise 2.1 that attack the grader, and what each of them must earn.

Every answer stands in an otherwise perfect workbook. Whatever it does, the other answers in the
workbook, and everybody else's, keep all their points. It earns exactly what its values are worth:
`NOTHING` for most; `ALL` where the function is right and does some mischief beside, which is then
of no use to anybody.
"""

import ast
import re
from collections.abc import Callable
from typing import NamedTuple

from course_lib.exercises.verdict import Outcome
from hand_ins.copied_code import CHANGES, original

ALL, NOTHING, LESS = "all", "nothing", "less than all"

# The right function under another name, for attacks that also answer.
RIGHT = """
def right(total):
    while total > 0xFFFF:
        total = (total & 0xFFFF) + (total >> 16)
    return total
"""
THEN_RIGHT = "\ndef fold(total):\n    return right(total)\n"


class Attack(NamedTuple):
    """One hostile answer: its source, what it must earn, and how its outcome may be called."""

    name: str
    source: str
    earns: str
    outcomes: frozenset[Outcome]


def attack(name: str, source: str, *outcomes: Outcome, earns: str = NOTHING) -> Attack:
    """Describe an attack; where chance says how it ends, two runs of it may differ."""
    by_chance = {Outcome.TWO_RUNS_DIFFER} if {ERROR} < set(outcomes) else set[Outcome]()
    return Attack(name, source, earns, frozenset(outcomes) | by_chance)


def doing(*lines: str, then: str = "return right(total)") -> str:
    """Return an answer that does something in every call, and then something else."""
    body = "".join(f"    {line}\n" for line in (*lines, then))
    return f"import os, sys\n{RIGHT}\ndef fold(total):\n{body}"


def once(*lines: str) -> str:
    """Return a right answer that does something when its cell is run."""
    return RIGHT + "\n".join(lines) + THEN_RIGHT


OUT_OF_TIME, ERROR, BAD, WRONG, FINE = (
    Outcome.OUT_OF_TIME, Outcome.ERROR, Outcome.BAD_VALUE, Outcome.WRONG, Outcome.RIGHT
)  # fmt: skip

ENDLESS = [
    attack("loops-in-python", doing("while True: pass"), OUT_OF_TIME),
    attack("loops-in-c", doing("return sum(iter(int, 1))"), OUT_OF_TIME),
    attack("one-long-operation", doing("return len(str(7 ** 10 ** 9))"), OUT_OF_TIME, ERROR),
    attack("backtracks-for-ever", doing("import re", "re.match('(a+)+$', 'a' * 60 + 'b')"),
           OUT_OF_TIME),
    attack("loops-on-loading", RIGHT + THEN_RIGHT + "while True: pass\n", FINE, earns=ALL),
    attack("sleeps", doing("import time", "time.sleep(1000)"), OUT_OF_TIME),
    attack("catches-everything", doing(
        "while True:", "    try:", "        while True: pass",
        "    except BaseException: pass"), OUT_OF_TIME),
    attack("ignores-signals", doing(
        "import signal", "for n in range(1, 32):", "    try: signal.signal(n, signal.SIG_IGN)",
        "    except OSError: pass", "while True: pass"), OUT_OF_TIME, ERROR),
    attack("waits-for-a-lock", doing(
        "import threading", "lock = threading.Lock()", "lock.acquire()", "lock.acquire()"),
        OUT_OF_TIME),
    attack("waits-for-input", doing("input()"), ERROR),
    attack("recurses-for-ever", doing("return fold(total)"), ERROR),
    attack("an-endless-generator", doing("import itertools", "return itertools.count()"), BAD),
    attack("out-of-time-in-the-reply", """
class Slow(int):
    def __int__(self):
        while True: pass
    __index__ = __int__
def fold(total):
    return Slow(3)
""", OUT_OF_TIME, BAD, WRONG),
]  # fmt: skip

PROCESSES = [
    attack("fork-bomb", doing("while True: os.fork()"), OUT_OF_TIME, ERROR, BAD, WRONG),
    attack("quiet-fork-bomb", doing(
        "while True:", "    try: os.fork()", "    except OSError: pass"), OUT_OF_TIME, ERROR),
    attack("thread-bomb", doing(
        "import threading, time",
        "while True: threading.Thread(target=time.sleep, args=(99,)).start()"), ERROR, OUT_OF_TIME),
    attack("leaves-a-daemon", once(
        "import os, time", "if os.fork() == 0:", "    os.setsid()", "    if os.fork() == 0:",
        "        time.sleep(500)", "    os._exit(0)"), FINE, ERROR, earns=LESS + " or all"),
    attack("leaves-a-thread", once(
        "import threading, time", "threading.Thread(target=time.sleep, args=(500,)).start()"),
        FINE, earns=ALL),
    attack("two-of-itself-answer", once("import os", "os.fork()"), FINE, ERROR, BAD,
           earns=LESS + " or all"),
    attack("starts-a-program", doing(
        "import subprocess", "subprocess.Popen(['sleep', '500'])"), FINE, ERROR,
        earns=LESS + " or all"),
    attack("kills-its-parent", doing("os.kill(os.getppid(), 9)"), FINE, ERROR,
           earns=LESS + " or all"),
    attack("kills-everybody", doing("os.kill(-1, 9)"), FINE, ERROR, earns=LESS + " or all"),
    attack("kills-its-group", doing("os.killpg(0, 9)"), FINE, ERROR, earns=LESS + " or all"),
    attack("stops-itself", doing("os.kill(os.getpid(), 19)"), FINE, OUT_OF_TIME,
           earns=LESS + " or all"),
    attack("traces-its-parent", doing(
        "import ctypes", "ctypes.CDLL(None).ptrace(16, os.getppid(), 0, 0)"), FINE, earns=ALL),
]  # fmt: skip

FLOODS = [
    attack("memory", doing("hog = bytearray(1 << 40)"), ERROR),
    attack("memory-bit-by-bit", doing("hog = []", "while True: hog.append(bytes(1 << 20))"),
           ERROR, OUT_OF_TIME),
    attack("memory-map", doing("import mmap", "mmap.mmap(-1, 1 << 42)"), ERROR),
    attack("shared-memory", doing(
        "hog = open('/dev/shm/hog', 'wb')", "while True: hog.write(bytes(1 << 20))"),
        ERROR, OUT_OF_TIME),
    attack("disk", doing(
        "import tempfile", "hog = tempfile.TemporaryFile()",
        "while True: hog.write(bytes(1 << 20))"), ERROR, OUT_OF_TIME),
    attack("many-files", doing(
        "n = 0", "while True:", "    open(f'/tmp/{n}', 'w').close()", "    n += 1"),
        ERROR, OUT_OF_TIME),
    attack("descriptors", doing("hog = []", "while True: hog.append(os.dup(0))"), ERROR),
    attack("prints-for-ever", doing("while True: print('x' * 10_000)"), OUT_OF_TIME, ERROR),
    attack("errors-for-ever", doing("while True: print('x' * 10_000, file=sys.stderr)"),
           OUT_OF_TIME, ERROR),
    attack("prints-and-answers", doing("print('x' * 100_000)"), FINE, earns=ALL),
    attack("a-huge-number", doing("return 1 << 10_000_000"), BAD),
    attack("a-huge-text", doing("return 'x' * (1 << 26)"), BAD),
    attack("a-huge-list", doing("return [0] * 10_000_000"), BAD),
    attack("a-list-in-itself", doing("loop = []", "loop.append(loop)", "return loop"), BAD),
    attack("nested-too-deep", doing(
        "deep = 0", "for _ in range(100_000): deep = [deep]", "return deep"), BAD, ERROR),
]  # fmt: skip

ENDS = [
    attack("exits-at-once", doing("os._exit(0)"), ERROR),
    attack("exits-on-loading", "import os\nfold = os._exit(0)\n", ERROR),
    attack("exits-politely", doing("sys.exit(0)"), ERROR),
    attack("interrupts", doing("raise KeyboardInterrupt"), WRONG),
    attack("aborts", doing("os.abort()"), ERROR),
    attack("reads-address-zero", doing("import ctypes", "ctypes.string_at(0)"), ERROR),
    attack("exits-with-a-claim", once(
        "import atexit", "atexit.register(print, '{\"case\": 0, \"value\": 1}')"),
        FINE, earns=ALL),
    attack("an-error-that-fights", """
class Right(Exception):
    def __str__(self):
        raise Right
    __repr__ = __str__
def fold(total):
    raise Right
""", WRONG),
    attack("not-implemented-by-name", doing("raise NotImplementedError('right')"),
           ERROR, Outcome.NO_ANSWER),
]  # fmt: skip

PATCHES = [
    attack(
        "patches-builtins",
        """
import builtins
builtins.len = lambda thing: 0
builtins.isinstance = lambda *both: True
builtins.all = builtins.any = lambda things: True
builtins.type = lambda *thing: int
def fold(total):
    return 0
""",
        ERROR,
        BAD,
        WRONG,
    ),
    attack(
        "patches-equality-of-numbers",
        """
class Always(int):
    def __eq__(self, other):
        return True
    def __ne__(self, other):
        return False
    __hash__ = int.__hash__
def fold(total):
    return Always(12345)
""",
        WRONG,
    ),
    attack(
        "an-object-equal-to-everything",
        """
class Always:
    def __eq__(self, other):
        return True
    __hash__ = None
def fold(total):
    return Always()
""",
        BAD,
    ),
    attack(
        "lies-about-its-class",
        """
class Liar:
    __class__ = int
    def __index__(self):
        return 3
def fold(total):
    return Liar()
""",
        BAD,
        WRONG,
    ),
    attack(
        "patches-the-writer",
        """
import json
true_dumps = json.dumps
def fold(total):
    json.dumps = lambda message, **more: true_dumps({"case": 0, "right": True, "points": 100})
    return 0
""",
        ERROR,
        BAD,
    ),
    attack(
        "patches-plain-data",
        """
import sys
for name, module in list(sys.modules.items()):
    if hasattr(module, "encode") and "plain_data" in name:
        module.encode = lambda value: {"right": True}
    if hasattr(module, "same"):
        module.same = lambda *both: True
def fold(total):
    return 0
""",
        WRONG,
        BAD,
        ERROR,
    ),
    attack(
        "patches-the-judge",
        """
import sys, types
for name in ("verdict", "marking", "runner", "registry"):
    fake = types.ModuleType(name)
    fake.mark = fake.judge = fake.agrees = lambda *given: 100.0
    sys.modules["course_lib.exercises." + name] = fake
def mark(*given):
    return 100.0
def fold(total):
    return 0
""",
        WRONG,
    ),
    attack(
        "patches-the-importer",
        """
import importlib, sys
class Finder:
    def find_spec(self, *given):
        raise SystemExit(0)
sys.meta_path.insert(0, Finder())
sys.path_hooks.clear()
importlib.invalidate_caches()
def fold(total):
    return 0
""",
        WRONG,
        ERROR,
    ),
    attack(
        "patches-codecs",
        """
import codecs
codecs.register(lambda name: None)
codecs.register_error("strict", lambda error: ("", error.end))
codecs.register_error("replace", lambda error: ("", error.end))
def fold(total):
    return "\\udc80"
""",
        BAD,
    ),
    attack(
        "traces-everything",
        """
import sys
def spy(frame, event, what):
    frame.f_locals.update(points=100)
    return spy
sys.settrace(spy)
sys.setprofile(spy)
def fold(total):
    return 0
""",
        WRONG,
        OUT_OF_TIME,
    ),
    attack(
        "patches-time",
        """
import time, signal
time.time = time.monotonic = time.perf_counter = lambda: 0.0
signal.alarm(1)
signal.signal(signal.SIGALRM, signal.SIG_IGN)
def fold(total):
    while True: pass
""",
        OUT_OF_TIME,
        ERROR,
    ),
]

LOOKS = [
    attack("looks-through-the-frames", doing(
        "frame = sys._getframe()", "found = {}", "while frame:",
        "    found.update(frame.f_locals)", "    frame = frame.f_back",
        then="return found.get('expected', found.get('cases', [[0]])[0][0])"),
        WRONG, BAD, ERROR),
    attack("looks-through-memory", doing(
        "import gc", "for thing in gc.get_objects():",
        "    if type(thing).__name__ in ('Expected', 'Case') and hasattr(thing, 'value'):",
        "        return thing.value", then="return 0"), WRONG),
    attack("reads-the-cases-of-the-workbook", """
import json, pathlib
import importlib.resources as resources
def fold(total):
    cases = resources.files("course_lib.exercises") / "cases" / "unit_02.json"
    for case in json.loads(cases.read_text())["2.1"]:
        if case["arguments"] == [total]:
            return case["expected"]["value"]
    return 0
""", WRONG, ERROR, Outcome.NO_ANSWER, Outcome.PARTLY_RIGHT, earns=LESS),
    attack("looks-for-answers", """
import glob
def fold(total):
    for path in glob.glob("/**/answers/unit_02.py", recursive=True):
        scope = {}
        exec(open(path).read(), scope)
        return scope["fold"](total)
    return 0
""", WRONG, ERROR, OUT_OF_TIME),
    attack("looks-for-others-work", doing(
        "import glob", "found = glob.glob('/**/*.ipynb', recursive=True)",
        "found += glob.glob('/proc/*/cwd/*.ipynb') + glob.glob('/home/*') + glob.glob('/root/*')",
        then="return len(found) or 0.5"), BAD, WRONG, ERROR, OUT_OF_TIME),
    attack("imports-the-instructor", """
from instructor.units.unit_02.answers import fold as stolen
def fold(total):
    return stolen(total)
""", ERROR, Outcome.NO_ANSWER),
    attack("reads-the-environment", doing(
        then="return ' '.join(os.environ) + open('/proc/self/environ').read()"), BAD, ERROR),
    attack("reads-memory-of-its-parent", doing(
        then="return open(f'/proc/{os.getppid()}/mem', 'rb').read(10)"), ERROR),
    attack("inherited-descriptors", doing(
        "texts = []", "for n in range(3, 200):", "    try: texts.append(os.pread(n, 10, 0))",
        "    except OSError: pass", then="return texts or 0.5"), BAD, ERROR, WRONG),
    attack("leans-on-the-library", """
from course_lib.checksum import ones_complement_sum
def fold(total):
    return ones_complement_sum(total.to_bytes(4, "big"))
""", Outcome.NO_ANSWER),
]  # fmt: skip


def reaching(name: str, *lines: str, outcome: Outcome = ERROR) -> Attack:
    """Return an answer that looks for the library in a way that no import shows.

    The lines leave a module or the like as `found`; `name` and `path` are put together.
    """
    body = "".join(f"    {line}\n" for line in lines)
    source = f"""
import os, sys
name = "course_" + "lib.checksum"
paths = [os.path.join(place, *name.split(".")) + ".py" for place in sys.path]
def fold(total):
    found = None
{body}    return found.ones_complement_sum(total.to_bytes(8, "big"))
"""
    return attack(f"reaches-by-{name}", source, outcome)


ROUND = [
    reaching("importlib", "import importlib", "found = importlib.import_module(name)"),
    reaching("dunder-import", "found = __import__(name, fromlist=['checksum'])"),
    reaching("forgotten-modules", "for each in list(sys.modules):",
             "    if each.startswith('course_' + 'lib'): del sys.modules[each]",
             "found = __import__(name, fromlist=['checksum'])"),
    reaching("modules", "found = sys.modules[name]"),
    reaching("exec", "exec(f'import {name}')", "found = eval(name)"),
    reaching("its-file", "path = next(filter(os.path.exists, paths), paths[0])",
             "exec(open(path).read(), globals())", "found = sys.modules['__main__']"),
    reaching("pathlib", "import pathlib", "tops = [pathlib.Path(path) for path in paths]",
             "exec(next(p.read_text() for p in tops if p.exists()), globals())",
             "found = sys.modules['__main__']"),
    reaching("inspect", "import inspect", "exec(inspect.getsource(sys.modules[name]), globals())"),
    reaching("runpy", "import runpy", "runpy.run_module(name)"),
    reaching("pkgutil", "import pkgutil", "found = pkgutil.resolve_name(name)"),
    reaching("zipimport", "import zipimport", "found = zipimport.zipimporter(paths[-1])"),
    reaching("a-loader", "from importlib import util",
             "spec = util.spec_from_file_location('mine', paths[-1])",
             "found = util.module_from_spec(spec)", "spec.loader.exec_module(found)"),
    reaching("another-process", "import subprocess",
             "subprocess.run([sys.executable, '-c', f'import {name}'], check=True)"),
    reaching("memory", "import gc", "for thing in gc.get_objects():",
             "    if getattr(thing, '__name__', '') == name: found = thing"),
    reaching("frames", "frame = sys._getframe()", "while frame:",
             "    found = found or frame.f_globals.get('checksum')", "    frame = frame.f_back"),
    reaching("functions", "for kind in object.__subclasses__():",
             "    new = getattr(kind, '__init__', None)",
             "    names = getattr(new, '__globals__', {})",
             "    if names.get('__name__') == name: found = new"),
]  # fmt: skip


def copied(name: str, change: Callable[[str], str]) -> Attack:
    """Return a copy of the library's sum, and what calls it: its values are right."""
    source = change(original("course_lib.checksum.ones_complement_sum"))
    octets = "total.to_bytes(2 * (total.bit_length() // 16 + 1))"
    called = ast.parse(source).body[-1].name
    source += f"\n\ndef fold(total):\n    return {called}({octets})\n"
    return attack("copy-" + re.sub(r"\W+", "-", name), source, FINE, earns=ALL)


COPIES = [copied(name, change) for name, change in CHANGES.items()]

REACHES_OUT = [
    attack("connects", doing(
        "import socket", "socket.create_connection(('192.0.2.1', 80), timeout=2)"), ERROR),
    attack("connects-to-the-own-machine", doing(
        "import socket", "socket.create_connection(('127.0.0.1', 22), timeout=1)"),
        ERROR, OUT_OF_TIME),
    attack("asks-for-a-name", doing("import socket", "socket.gethostbyname('example.com')"),
           ERROR, OUT_OF_TIME),
    attack("abstract-socket", doing(
        "import socket", "s = socket.socket(socket.AF_UNIX)", "s.connect('\\0/tmp/.X11-unix/X0')"),
        ERROR),
    attack("writes-into-the-library", doing(
        "import course_lib", "open(course_lib.__file__, 'a').write('broken = 1')"), ERROR,
        Outcome.NO_ANSWER),
    attack("writes-into-the-system", doing("open('/usr/mischief', 'w')"), ERROR),
    attack("writes-into-the-home", doing(
        "os.makedirs('/root/mischief')"), ERROR),
    attack("makes-a-namespace", doing(
        "import ctypes", "if ctypes.CDLL(None).unshare(0x10000000): raise OSError"), WRONG),
    attack("mounts", doing(
        "import ctypes",
        "if ctypes.CDLL(None).mount(b'none', b'/tmp', b'tmpfs', 0, None): raise OSError"), WRONG),
    attack("becomes-root", doing("os.setuid(0)"), ERROR),
    attack("lifts-its-limits", doing(
        "import resource",
        "resource.setrlimit(resource.RLIMIT_AS, (1 << 50, 1 << 50))"), ERROR),
    attack("leaves-a-note-for-the-next", doing(
        "import tempfile, pathlib", "note = pathlib.Path(tempfile.gettempdir(), 'note')",
        "if note.exists(): return 0", "note.write_text('x')"), FINE, Outcome.PARTLY_RIGHT, WRONG,
        ERROR, earns=LESS + " or all"),
]  # fmt: skip

FORGERIES = [
    attack(
        "writes-replies-to-every-descriptor",
        """
import json, os
for number in range(2, 64):
    for case in range(200):
        line = json.dumps({"case": case, "value": 0}) + "\\n"
        try:
            os.write(number, line.encode())
        except OSError:
            break
def fold(total):
    return 0
""",
        WRONG,
        BAD,
        ERROR,
        OUT_OF_TIME,
    ),
    attack(
        "claims-points",
        """
import json, os
for number in range(2, 64):
    try:
        os.write(number, b'{"points": 100, "outcome": "right", "ended": "right"}\\n')
    except OSError:
        pass
def fold(total):
    return 0
""",
        WRONG,
        BAD,
        ERROR,
    ),
    attack(
        "replies-that-are-no-json",
        """
import os
for number in range(2, 64):
    try:
        os.write(number, b'[' * 5000 + b'\\n' + bytes(range(256)) + b'\\n')
    except OSError:
        pass
def fold(total):
    return 0
""",
        WRONG,
        BAD,
        ERROR,
    ),
    attack("closes-every-descriptor", doing("os.closerange(0, 256)"), ERROR, BAD, OUT_OF_TIME),
    attack(
        "answers-before-it-is-asked",
        """
import os
def fold(total):
    for number in range(2, 64):
        try:
            os.write(number, b'{"case": 1, "value": 65535}\\n')
        except OSError:
            pass
    return 65535
""",
        WRONG,
        BAD,
        ERROR,
        Outcome.PARTLY_RIGHT,
        earns=LESS,
    ),
    attack(
        "replays-its-first-answer",
        """
known = []
def fold(total):
    known.append(total)
    return known[0]
""",
        WRONG,
        Outcome.PARTLY_RIGHT,
        Outcome.TWO_RUNS_DIFFER,
        earns=LESS,
    ),
    attack(
        "echoes", "def fold(total):\n    return total\n", WRONG, Outcome.PARTLY_RIGHT, earns=LESS
    ),
]

OBJECTS = [
    attack(
        "reduce",
        """
import os
class Bomb:
    def __reduce__(self):
        return os._exit, (0,)
def fold(total):
    return Bomb()
""",
        BAD,
    ),
    attack(
        "repr",
        """
class Loud:
    def __repr__(self):
        while True: pass
    __str__ = __format__ = __repr__
def fold(total):
    return Loud()
""",
        BAD,
        OUT_OF_TIME,
    ),
    attack(
        "length",
        """
class Long(list):
    def __len__(self):
        return 1 << 62
    def __iter__(self):
        while True: yield 0
def fold(total):
    return Long()
""",
        BAD,
        OUT_OF_TIME,
        ERROR,
    ),
    attack(
        "a-map-without-end",
        """
class Endless(dict):
    def items(self):
        while True: yield 1, 1
    def keys(self):
        while True: yield 1
    __iter__ = keys
def fold(total):
    return Endless()
""",
        BAD,
        OUT_OF_TIME,
        ERROR,
    ),
    attack(
        "claims-to-be-numpy",
        """
class Array:
    def tolist(self):
        return Array()
Array.__module__ = "numpy"
def fold(total):
    return Array()
""",
        BAD,
        ERROR,
    ),
    attack(
        "an-attribute-for-everything",
        """
class Anything:
    def __getattr__(self, name):
        return Anything()
    def __call__(self, *given):
        return Anything()
def fold(total):
    return Anything()
""",
        BAD,
    ),
    attack(
        "the-class-itself",
        "class fold(int):\n    pass\n",
        BAD,
        WRONG,
        Outcome.PARTLY_RIGHT,
        earns=LESS,
    ),
    attack("a-text-of-half-characters", doing("return '\\ud800' * 10"), BAD),
    attack("nested-sums", RIGHT + "def fold(total):\n    return " + "-" * 20_000 + "1\n", ERROR),
    attack(
        "nested-attributes",
        RIGHT + "deep = right" + ".a" * 3_000 + "\ndef fold(total):\n    return deep\n",
        ERROR,
    ),
    attack("nonlocal-outside", RIGHT + "nonlocal total\n" + THEN_RIGHT, ERROR),
    attack("markup", doing("return '<script>alert(1)</script>'"), BAD),
    attack(
        "a-name-in-markup",
        """
class Oops(Exception):
    pass
Oops.__name__ = Oops.__qualname__ = "<img src=x onerror=alert(1)>"
def fold(total):
    raise Oops("</pre><script>alert(1)</script>\\x1b[2J")
""",
        WRONG,
    ),
]

ATTACKS = (
    *ENDLESS, *PROCESSES, *FLOODS, *ENDS, *PATCHES, *LOOKS, *ROUND, *COPIES, *REACHES_OUT,
    *FORGERIES, *OBJECTS,
)  # fmt: skip
