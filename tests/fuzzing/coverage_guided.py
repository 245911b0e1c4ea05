"""Run a check on very many texts, guided by which code they reach; keep what it complains about.

This uses Atheris (Python's bytecode, instrumented, below libFuzzer), the optional extra `fuzz`. The
work is done in a process of its own, since a text may end it; here its lines are read, and it is
started again for what is left of the time. Each complaint is kept once, by where it was raised.
"""

__all__ = ["Complaints", "Figures", "Target", "fuzz", "main"]

import hashlib
import importlib
import os
import re
import subprocess
import sys
import tempfile
import time
import traceback
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import Protocol, cast

TESTS = Path(__file__).resolve().parents[1]
INSTRUMENTED = ["course_lib.exercises", "course_lib.my_parts", "instructor"]
MOST_OCTETS, MOST_S, MOST_MIB = 1 << 20, 120, 2500  # of one text; of its check; of the process
PROGRESS = re.compile(r"^#(\d+)\s.*?cov: (\d+) ft: (\d+)")
SHOWN = ("COMPLAINT", "  ", "==", "SUMMARY", "ERROR", "Traceback", "ModuleNotFoundError")
Check = Callable[[bytes], object]


class Target(Protocol):
    """A module that can be fuzzed: it raises for a text that shows a fault."""

    PIECES: Sequence[bytes]

    def check(self, octets: bytes) -> object:
        """Look at one text; the first octet says what it is for."""

    def seeds(self) -> Sequence[bytes]:
        """Return texts to begin with."""


@dataclass(slots=True)
class Figures:
    """What libFuzzer said of itself: executions, edges, and features (edges with how often)."""

    executions: int = 0
    first: tuple[int, int] = (0, 0)
    last: tuple[int, int] = (0, 0)
    processes: int = 0
    _before: int = field(default=0, repr=False)

    def take(self, line: str) -> None:
        """Read one line of libFuzzer's."""
        if found := PROGRESS.match(line):
            number, edges, features = map(int, found.groups())
            self.executions = self._before + number
            self.first = self.first if self.first[0] else (edges, features)
            self.last = max(self.last, (edges, features))

    def began_again(self) -> None:
        """Count on: the next process begins at nothing."""
        self._before, self.processes = self.executions, self.processes + 1

    def __str__(self) -> str:
        return (
            f"{self.executions:,} executions in {self.processes} processes\n"
            f"edges {self.first[0]:,} -> {self.last[0]:,}, "
            f"features {self.first[1]:,} -> {self.last[1]:,}"
        )


@dataclass(slots=True)
class Complaints:
    """What a check complains about, each place once; the text is kept in a file, for a replay."""

    check: Check
    folder: Path
    seen: set[str] = field(default_factory=set)

    def look(self, octets: bytes) -> str:
        """Check one text; return the path of a new complaint's file, or nothing."""
        try:
            self.check(octets)
        except Exception as problem:
            return self._keep(octets, problem)
        return ""

    def _keep(self, octets: bytes, problem: Exception) -> str:
        frames = traceback.extract_tb(problem.__traceback__)
        own = [one for one in frames if "site-packages" not in one.filename]
        place = f"{type(problem).__name__} {Path(own[-1].filename).name}:{own[-1].lineno}"
        if place in self.seen:
            return ""
        self.seen.add(place)
        path = self.folder / f"complaint-{hashlib.sha256(octets).hexdigest()[:12]}"
        path.write_bytes(octets)
        words = str(problem).splitlines() or [""]
        print(f"COMPLAINT {place}: {words[0][:200]}\n  replay: {path}")
        print("\n".join(f"  {one.filename}:{one.lineno}" for one in own[-4:]))
        if len(octets) <= 2000:
            print(f"  regression: pytest.param({octets!r}, id={place!r}),", flush=True)
        return str(path)


def main(script: str, name: str) -> int:
    """Read the command line: SECONDS to fuzz, or FILES to replay; return the exit status.

    `script` was started; `name` is the module of `tests/support` that is the target.
    """
    words = sys.argv[1:] or ["60"]
    sys.path[:0] = [str(TESTS / "support"), str(TESTS.parent)]
    if words[0] == "--in-process":
        _in_process(name, Path(words[1]), float(words[2]))
    if words[0].replace(".", "", 1).isdigit():
        return fuzz(script, float(words[0]))
    target = _target(name)
    for word in words:
        target.check(Path(word).read_bytes())
        print(f"{word}: no complaint")
    return 0


def fuzz(script: str, wait_s: float) -> int:
    """Fuzz for some seconds and say what came of it; return 1 for complaints, 2 if it never ran."""
    folder = Path(tempfile.mkdtemp(prefix="fuzzed-"))
    figures, complaints = Figures(), 0
    end = time.monotonic() + wait_s
    while (left_s := end - time.monotonic()) > 1:
        before = figures.executions
        complaints += _one_process(script, folder, left_s, figures)
        figures.began_again()
        if figures.executions == before:
            print("nothing was executed: see above")
            return 2
    print(f"{figures}\n{complaints} complaints in {wait_s / 60:.1f} min; texts are in {folder}")
    return 1 if complaints else 0


def _one_process(script: str, folder: Path, left_s: float, figures: Figures) -> int:
    """Let one process fuzz; pass on what is worth reading, and count complaints."""
    command = [sys.executable, script, "--in-process", str(folder), str(left_s)]
    complaints = 0
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, errors="replace",
        env={**os.environ, "PYTHONHASHSEED": "0"},
    ) as process:  # fmt: skip
        for line in process.stdout or ():
            figures.take(line)
            if line.startswith(SHOWN):
                print(line, end="", flush=True)
            complaints += line.startswith(("COMPLAINT", "SUMMARY"))
    return complaints


def _in_process(name: str, folder: Path, left_s: float) -> None:
    """Give this process to libFuzzer, which never comes back."""
    import atheris  # type: ignore[import-not-found, import-untyped, unused-ignore]

    from fuzzed.mutations import mutated  # in `tests/support`, which is on the path by now

    with atheris.instrument_imports(include=INSTRUMENTED):
        target = _target(name)
        seeds = target.seeds()
    if Path("/dev/shm").is_dir():
        tempfile.tempdir = "/dev/shm"  # pages are written by the thousand, and thrown away
    complaints = Complaints(target.check, folder)

    def one(octets: bytes) -> None:
        complaints.look(octets)

    def change(octets: bytes, most: int, seed: int) -> bytes:
        random = Random(seed)
        if random.random() < 0.3:
            return bytes(atheris.Mutate(octets, most))
        return mutated(octets, random, seeds, target.PIECES)[:most]

    options = [f"-max_total_time={left_s:.0f}", f"-max_len={MOST_OCTETS}", f"-timeout={MOST_S}",
               f"-rss_limit_mb={MOST_MIB}", f"-artifact_prefix={folder}/", "-len_control=0",
               "-reload=0", str(_corpus(folder, seeds))]  # fmt: skip
    atheris.Setup([sys.argv[0], *options], one, custom_mutator=change)
    atheris.Fuzz()


def _corpus(folder: Path, seeds: Sequence[bytes]) -> Path:
    corpus = folder / "corpus"
    corpus.mkdir(exist_ok=True)
    for seed in seeds:
        (corpus / hashlib.sha256(seed).hexdigest()[:16]).write_bytes(seed)
    return corpus


def _target(name: str) -> Target:
    return cast(Target, importlib.import_module(name))
