"""Longest prefix match compared with this machine's own kernel.

The routes live in a network namespace that the test makes for itself and that ends with it; no
packet is ever sent. Where such a namespace cannot be made the tests are skipped with the reason,
but on a build server (CI=true) that is a failure, so that nobody loses the check unnoticed.

Addresses that the kernel treats specially before it looks at any route are left out: 0/8, 127/8
and everything from 224/4 on (RFC 6890; RFC 1812, section 5.3.7).
"""

import os
import random
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from course_lib.lookup import BinaryTrie, DirectIndex
from course_lib.lookup.invented_routes import invent_routes
from course_lib.prefixes.prefix import Prefix, parse_prefix, prefix_around
from course_lib.prefixes.text import parse_address
from instructor.units.unit_03.answers import aggregate_routes

PROGRAM = Path(__file__).with_name("kernel_routes.py")
ROUTES = 50_000
CHANGES = 100_000
RANDOM_ADDRESSES = 1_000_000  # at most; a tenth for the trie, which is slower
SECONDS = 6.0  # for random addresses, in each of two tests
AT_LEAST = 50_000  # random addresses answered in that time
DEFAULT = Prefix(0, 0)


class Kernel:
    """A kernel's route table in its own namespace, behind the program `kernel_routes.py`."""

    def __init__(self, process, folder):
        self.process, self.folder = process, folder

    def order(self, *words):
        self.process.stdin.write(" ".join(map(str, words)) + "\n")
        self.process.stdin.flush()
        answer = self.process.stdout.readline().split()
        assert answer[:1] == ["done"], f"{words}: {self.process.stderr.read()}"
        return answer[1:]

    def change(self, changes):
        """Insert where the second value is true, withdraw where it is false."""
        lines = (f"route {'replace' if there else 'del'} {p} dev lo\n" for p, there in changes)
        (self.folder / "changes").write_text("".join(lines))
        self.order("change", self.folder / "changes")

    def ask(self, addresses, seconds=60.0):
        """Return network * 64 + length of the matching prefixes, or -1; as many as time allows."""
        addresses.astype(np.uint32).tofile(self.folder / "in")
        self.order("ask", self.folder / "in", self.folder / "out", seconds)
        return np.fromfile(self.folder / "out", np.int64)


@pytest.fixture
def kernel(tmp_path):
    as_root = [] if os.geteuid() == 0 else ["--user", "--map-root-user"]
    command = ["unshare", *as_root, "--net", sys.executable, str(PROGRAM)]
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    try:
        process = subprocess.Popen(command, text=True, **pipes)
    except FileNotFoundError as error:
        unavailable(error)
    with process:
        if process.stdout.readline() != "ready\n":
            unavailable(" ".join(process.stderr.read().strip().splitlines()[-1:]))
        try:
            yield Kernel(process, tmp_path)
        finally:
            process.kill()


def unavailable(reason):
    text = f"no network namespace with routes can be made here: {reason}"
    if os.environ.get("CI") == "true":
        pytest.fail(text)
    pytest.skip(text)


def keys(prefixes):
    return np.array([prefix.network << 6 | prefix.length for prefix in prefixes])


def answers(table, keys_by_number, addresses):
    """Return what the kernel would say, where the table's next hop is the number of a prefix."""
    numbers = table.lookup_many(addresses)
    return np.where(numbers < 0, -1, keys_by_number[numbers])


def edges(prefixes):
    """Both ends of every prefix, but for the default route, whose ends have other meanings."""
    ends = [edge for prefix in prefixes if prefix.length for edge in (prefix.first, prefix.last)]
    return np.array(ends, np.uint32)


def unicast_addresses(count, seed):
    drawn = np.random.default_rng(seed).integers(1 << 24, 224 << 24, count, dtype=np.uint32)
    return drawn[drawn >> 24 != 127]


def random_changes(prefixes, present, count, seed):
    """Return `count` pairs of a prefix and whether it is inserted or withdrawn, in order."""
    rng, present = random.Random(seed), set(present)
    changes = []
    for prefix in rng.choices(prefixes, k=count):
        withdraw = prefix in present and rng.random() < 0.75
        (present.remove if withdraw else present.add)(prefix)
        changes.append((prefix, not withdraw))
    return changes


def compare(kernel, tables, prefixes):
    """Compare on the edges of all prefixes, and on random addresses as long as time allows."""
    by_number = keys(prefixes)
    at_edges, anywhere = edges(prefixes), unicast_addresses(RANDOM_ADDRESSES, seed=24)
    kernel_at_edges, kernel_anywhere = kernel.ask(at_edges), kernel.ask(anywhere, SECONDS)
    assert kernel_anywhere.size >= AT_LEAST
    for table, most in tables.items():
        assert np.array_equal(answers(table, by_number, at_edges), kernel_at_edges)
        asked = anywhere[: min(most, kernel_anywhere.size)]
        assert np.array_equal(answers(table, by_number, asked), kernel_anywhere[: asked.size])


def apply(tables, numbers, changes):
    for table in tables:
        for prefix, there in changes:
            if there:
                table.insert(prefix, numbers[prefix])
            else:
                table.withdraw(prefix)


@pytest.mark.parametrize("changes", [0, CHANGES])
def test_the_kernel_finds_the_same_prefixes(kernel, changes):
    """With the routes just filled in, and after inserting and withdrawing at random."""
    known = invent_routes(ROUTES, seed=21).prefixes()
    others = invent_routes(ROUTES // 2, seed=22).prefixes()
    prefixes = sorted({*known, *others, DEFAULT})
    numbers = {prefix: number for number, prefix in enumerate(prefixes)}
    tables = {DirectIndex(): RANDOM_ADDRESSES, BinaryTrie(): RANDOM_ADDRESSES // 10}
    script = [(prefix, True) for prefix in known]
    script += random_changes(prefixes, known, changes, seed=23)
    kernel.change(script)
    apply(tables, numbers, script)
    compare(kernel, tables, prefixes)


def test_the_default_route_comes_and_goes(kernel):
    table = DirectIndex()
    addresses = unicast_addresses(1000, seed=1)
    for there in (True, False):
        kernel.change([(DEFAULT, there)])
        apply([table], {DEFAULT: 0}, [(DEFAULT, there)])
        assert np.array_equal(answers(table, keys([DEFAULT]), addresses), kernel.ask(addresses))


@pytest.mark.parametrize(
    ("address", "prefix"),
    [
        ("10.24.15.255", "10.24.12.0/22"),
        ("10.24.33.9", "10.24.32.0/23"),
        ("10.24.34.1", "10.24.0.0/13"),
        ("10.32.15.255", "10.32.0.0/20"),
        ("10.32.16.0", "10.32.0.0/13"),
    ],
)
def test_the_kernel_is_understood_rightly(kernel, address, prefix):
    """The table of RFC 4632, section 6.2: our reading of netlink against what `ip` prints."""
    texts = ["10.24.12.0/22", "10.32.0.0/20", "10.24.0.0/13", "10.24.32.0/23", "10.32.0.0/13"]
    kernel.change([(parse_prefix(text), True) for text in texts])
    assert kernel.order("explain", address) == [prefix]
    expected = keys([parse_prefix(prefix)])
    assert kernel.ask(np.array([parse_address(address)])).tolist() == expected.tolist()


def test_fewer_routes_lead_every_packet_where_all_of_them_led(kernel):
    """The answer to exercise 3.5: the kernel tells the prefix, and that its next hop."""
    rng = random.Random(35)
    prefixes = {
        prefix_around(10 << 24 | rng.getrandbits(12) << 12, rng.randint(12, 20))
        for _ in range(2000)
    }
    routes = [(str(prefix), rng.choice(("Reed", "Gull"))) for prefix in prefixes]
    fewer = aggregate_routes(routes)
    assert len(fewer) < len(routes) / 2
    asked = edges(prefixes)
    led = []
    for known, there in ((routes, True), (routes, False), (fewer, True)):
        kernel.change([(parse_prefix(prefix), there) for prefix, _ in known])
        hops = {keys([parse_prefix(prefix)])[0]: hop for prefix, hop in known}
        led.append([hops.get(key) for key in kernel.ask(asked).tolist()])
    assert led[0] == led[2]
    assert set(led[0]) == {"Reed", "Gull"}
