"""A machine within the machine: accounts, folders and processes of a test's own.

A test that needs several accounts may not make them on the machine it runs on. So it
runs in namespaces of its own: there `/etc/passwd`, `/etc/group` and `/etc/shadow` are
files of the test, and so are `/srv` and what lies in the environment's `etc/jupyter`. The
accounts are real ones to everything that runs in there: user ids, owners of files,
passwords through PAM. The checkout is where a member of staff keeps it, in a closed home;
in its usual place there is nothing, and for all others `course_lib` is what was installed.

Only root can do this. When the machine ends, the kernel ends all that was started in it.
"""

import contextlib
import os
import secrets
import shlex
import shutil
import subprocess
import sys
import sysconfig
import tempfile
from dataclasses import dataclass
from pathlib import Path

from instructor.release.workbook_files import ROOT
from machines.processes import until

FIRST_ID = 61001  # above what Debian gives to people, below what it gives to nobody
SPACES = ["--mount", "--pid"]
PACKAGES = Path(sysconfig.get_path("purelib"))
OURS = PACKAGES / "_hop_by_hop.pth"  # says where a checkout's packages are
PREFIX = Path(sys.prefix)
PYTHON = f"{PREFIX}/bin/python"


@dataclass(frozen=True)
class Machine:
    """A running machine: where its files are, its accounts' passwords, and a process in it."""

    folder: Path
    passwords: dict[str, str]
    pid: int

    def home(self, account):
        return self.folder / "homes" / account

    def command(self, account, *words, cwd=None, **environment):
        """Return the command that runs `words` in the machine, as this account."""
        home = self.home(account) if account != "root" else self.folder / "hub"
        told = {
            "HOME": home, "USER": account, "LANG": "C.UTF-8",
            "PATH": f"{PREFIX}/bin:{os.defpath}", **environment,
        }  # fmt: skip
        return [
            "nsenter", f"--target={self.pid}", *SPACES, "--",
            "setpriv", f"--reuid={account}", f"--regid={account}", "--init-groups", "--",
            "env", "-i", f"--chdir={cwd or home}", *(f"{name}={told[name]}" for name in told),
            *(str(word) for word in words),
        ]  # fmt: skip

    def run(self, account, *words, **more):
        """Run a command to its end and return how it went."""
        return subprocess.run(
            self.command(account, *words, **more),
            capture_output=True, text=True, check=False,
        )  # fmt: skip

    def must(self, account, *words, **more):
        """Run a command that must succeed; return all that it said."""
        done = self.run(account, *words, **more)
        assert done.returncode == 0, (words, done.stdout[-1500:], done.stderr[-3000:])
        return done.stdout + done.stderr


def why_not():
    """Return why no such machine can be made here, or ''."""
    if os.geteuid() != 0:
        return "several accounts in namespaces of a test's own can be made by root alone"
    tried = subprocess.run(
        ["unshare", *SPACES, "--fork", "--mount-proc", "--propagation=private", "true"],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    return f"no namespaces can be made here: {tried.stderr.strip()}" if tried.returncode else ""


@contextlib.contextmanager
def private_machine(accounts, staff, tools=()):
    """Yield a machine with these accounts, each with its groups.

    `staff` is the one who has the checkout; `tools` are programs that all must be able to run.
    """
    assert PREFIX.is_relative_to(ROOT), "the tests of the hub need the environment of the checkout"
    folder = Path(tempfile.mkdtemp(prefix="machine-"))
    folder.chmod(0o755)
    try:
        passwords = _write_files(folder, accounts)
        (folder / "set-up").write_text(_set_up(folder, staff, tools))
        with _running(folder) as pid:
            yield Machine(folder, passwords, pid)
    finally:
        shutil.rmtree(folder)


def _write_files(folder, accounts):
    """Write accounts, groups and homes; return the accounts' passwords, made at random."""
    passwords = {account: secrets.token_urlsafe(12) for account in accounts}
    numbers = dict(zip(accounts, range(FIRST_ID, FIRST_ID + len(accounts)), strict=True))
    users, shadow, groups = [], [], []
    for account, number in numbers.items():
        home = folder / "homes" / account
        home.mkdir(mode=0o700, parents=True)
        os.chown(home, number, number)
        users.append(f"{account}:x:{number}:{number}::{home}:/bin/sh")
        shadow.append(f"{account}:{_digest(passwords[account])}:19000:0:99999:7:::")
        groups.append(f"{account}:x:{number}:")
    for place, group in enumerate(sorted({one for of in accounts.values() for one in of})):
        members = ",".join(account for account in accounts if group in accounts[account])
        groups.append(f"{group}:x:{FIRST_ID + 100 + place}:{members}")
    for name, lines in (("passwd", users), ("group", groups), ("shadow", shadow)):
        there = Path("/etc", name).read_text()
        (folder / name).write_text(there.rstrip("\n") + "\n" + "\n".join(lines) + "\n")
    (folder / "shadow").chmod(0o600)
    for part, mode in (("hub", 0o700), ("srv", 0o755), ("saved", 0o755), ("course", 0o755)):
        (folder / part).mkdir()
        (folder / part).chmod(mode)
    shutil.copytree(PREFIX / "etc" / "jupyter", folder / "jupyter")
    (folder / "students.pth").write_text(f"{folder / 'course'}\n")
    return passwords


def _digest(password):
    done = subprocess.run(
        ["openssl", "passwd", "-6", "-stdin"], input=password, capture_output=True, text=True,
        check=True,
    )  # fmt: skip
    return done.stdout.strip()


def _set_up(folder, staff, tools):
    """Return the script that the machine begins with."""
    needed = _needed(tools)
    closed = {_closed(path) for path in needed} - {None} | {ROOT}
    q = shlex.quote
    lines = ["set -e"]
    for name in ("passwd", "group", "shadow"):
        lines.append(f"mount --bind {folder}/{name} /etc/{name}")
    lines.append(f"mount --bind {folder}/srv /srv")
    for place, path in enumerate([*needed, ROOT]):
        lines.append(
            f"mkdir {folder}/saved/{place} && mount --rbind {q(str(path))} {folder}/saved/{place}"
        )
    lines += [f"mount -t tmpfs -o mode=0755 hidden {q(str(path))}" for path in sorted(closed)]
    for place, path in enumerate(needed):
        if any(path.is_relative_to(one) for one in closed):
            lines.append(
                f"mkdir -p {q(str(path))} && mount --rbind {folder}/saved/{place} {q(str(path))}"
            )
    checkout = folder / "homes" / staff / "hop-by-hop"
    (folder / "staff.pth").write_text(f"{checkout}\n")
    lines += [
        f"mkdir {checkout} && mount --rbind {folder}/saved/{len(needed)} {checkout}",
        f"mount --bind {folder}/staff.pth {q(str(checkout / OURS.relative_to(ROOT)))}",
        f"mount --bind {folder}/students.pth {q(str(OURS))}",
        f"mount --bind {folder}/jupyter {q(str(PREFIX))}/etc/jupyter",
        f"cd {folder}/saved && chmod 0700 . && touch {folder}/ready",
        "exec sleep infinity",
    ]
    return "\n".join(lines) + "\n"


def _needed(tools):
    """Return the folders that everybody in the machine must be able to read."""
    folders = [Path(sys.base_prefix).resolve(), PREFIX]
    for tool in tools:
        path = Path(tool).resolve()
        packages = [one for one in path.parents if one.name == "node_modules"]
        folders.append(packages[-1] if packages else path.parent)
    return [one for one in dict.fromkeys(folders) if not one.is_relative_to("/usr")]


def _closed(path):
    """Return the outermost folder above `path` that others may not enter, if there is one."""
    above = reversed(path.parents)
    return next((one for one in above if not one.stat().st_mode & 0o001), None)


@contextlib.contextmanager
def _running(folder):
    command = ["unshare", *SPACES, "--fork", "--kill-child", "--mount-proc",
               "--propagation=private", "sh", folder / "set-up"]  # fmt: skip
    with (folder / "set-up.log").open("w") as log:
        process = subprocess.Popen(command, stdout=log, stderr=log)
    try:
        yield _wait(folder, process)
    finally:
        process.kill()
        process.wait()


def _wait(folder, process):
    """Wait until everything is in its place; return the first process of the machine."""
    until((folder / "ready").exists, process, (folder / "set-up.log").read_text)
    children = Path(f"/proc/{process.pid}/task/{process.pid}/children").read_text()
    return int(children.split()[0])
