"""A scheduler and workers of Dask as real processes on the loopback address, for one test."""

import contextlib
import json
import subprocess
import sys
import tempfile
from pathlib import Path

from machines.processes import until

UNTRIED = """
from instructor.grading.workers import bench as workers
from instructor.grading.sandbox.sandboxed_run import Look
workers.look_at = lambda sandbox: Look(("Walls not tried.",))
"""
UNSOUND = """
from instructor.grading.workers import bench as workers
from instructor.grading.sandbox.sandboxed_run import Look
workers.look_at = lambda sandbox: Look((), "the sandbox does not hold here (the network)")
"""
OLDER = """
from instructor.grading.workers import bench as workers
workers.course_version = lambda: "0123456789ab on Python 3.11"
"""
WITHOUT_COURSE = """
import sys
sys.modules["instructor"] = None
"""
COMMON = ("--host", "127.0.0.1", "--no-dashboard")


class Cluster:
    """What runs: the scheduler with its address, and the workers."""

    def __init__(self, folder):
        self.folder = Path(folder)
        self.file = self.folder / "scheduler.json"
        self.scheduler = self._start("scheduler", "--port", "0", "--scheduler-file", self.file)
        self.address = until(self._address)
        self.workers = []

    def add(self, preload=UNTRIED, threads=1):
        """Start a worker; `preload` is what is done in it before anything else."""
        before = self.folder / f"before{len(self.workers)}.py"
        before.write_text(preload)
        worker = self._start(
            "worker", self.address, "--nthreads", threads, "--no-nanny", "--preload", before,
            "--local-directory", self.folder, "--memory-limit", "0",
        )  # fmt: skip
        self.workers.append(worker)
        return worker

    def only(self, number):
        """Let there be so many workers: end those beyond, start what is missing."""
        there = [one for one in self.workers if one.poll() is None]
        _end(there[number:])
        self.workers = there[:number]
        while len(self.workers) < number:
            self.add()
        return self.has(number)

    def has(self, number):
        """Wait until the scheduler knows of so many workers."""
        from distributed import Client

        with Client(self.address, set_as_default=False) as client:
            until(lambda: len(client.nthreads()) == number)
        return self

    def said(self):
        """Return what the processes have written, for whoever looks for a fault."""
        return "\n".join(path.read_text() for path in sorted(self.folder.glob("*.log")))

    def end(self):
        """End all of it."""
        _end([*self.workers, self.scheduler])

    def _start(self, kind, *options):
        log = self.folder / f"{kind}{len(list(self.folder.glob('*.log')))}.log"
        command = [sys.executable, "-m", f"distributed.cli.dask_{kind}", *COMMON, *options]
        with log.open("w") as said:
            return subprocess.Popen(
                [str(word) for word in command], stdout=said, stderr=said, cwd=self.folder
            )

    def _address(self):
        assert self.scheduler.poll() is None, self.said()
        with contextlib.suppress(FileNotFoundError, ValueError):
            return json.loads(self.file.read_text())["address"]
        return None


def _end(processes):
    for one in processes:
        one.kill()
    for one in processes:
        one.wait(timeout=200)


@contextlib.contextmanager
def cluster(number=0, **more):
    """Run a scheduler and so many workers; `more` as for `Cluster.add`."""
    with tempfile.TemporaryDirectory() as folder:
        running = Cluster(folder)
        try:
            for _ in range(number):
                running.add(**more)
            yield running.has(number)
        finally:
            running.end()
