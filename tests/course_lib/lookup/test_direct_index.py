"""What the direct-index table promises beyond what every lookup table does."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

import course_lib
from course_lib.engine.compiled import engine
from course_lib.lookup import NO_ROUTE, DirectIndex
from course_lib.lookup.direct_index_reader import (
    NUMBER,
    read_entries,
    read_with_loop,
    read_with_numpy,
)
from course_lib.lookup.invented_routes import invent_routes
from course_lib.lookup.protocol import MAX_NEXT_HOP
from course_lib.prefixes.prefix import Prefix, parse_prefix
from course_lib.prefixes.text import parse_address


def probes_of(table):
    """Both edges of every prefix, and as many addresses at random."""
    lasts = table.networks | ((1 << (32 - table.lengths.astype(np.int64))) - 1).astype(np.uint32)
    rng = np.random.default_rng(5)
    anywhere = rng.integers(0, 1 << 32, table.networks.size, dtype=np.uint32)
    return np.concatenate([table.networks, lasts, anywhere])


def test_built_at_once_and_route_by_route_are_the_same_table():
    routes = invent_routes(5_000, seed=8)
    shuffled = np.random.default_rng(1).permutation(5_000)
    at_once = DirectIndex.from_arrays(*(column[shuffled] for column in routes))
    one_by_one = DirectIndex()
    for prefix, next_hop in zip(routes.prefixes(), routes.next_hops.tolist(), strict=True):
        one_by_one.insert(prefix, next_hop)
    probes = probes_of(routes)
    assert np.array_equal(at_once.lookup_many(probes), one_by_one.lookup_many(probes))
    for table in (at_once, one_by_one):
        table.insert(Prefix(0, 0), 7)
    assert np.array_equal(at_once.lookup_many(probes), one_by_one.lookup_many(probes))
    at_once.withdraw(Prefix(0, 0))
    for prefix in routes.prefixes():
        at_once.withdraw(prefix)
    assert (at_once.lookup_many(probes) == NO_ROUTE).all()
    assert len(at_once) == 0


@pytest.mark.parametrize(
    ("networks", "lengths", "next_hops", "complaint"),
    [
        pytest.param(
            [0, 1], [8, 8], [0, 0], r"route 1: 0\.0\.0\.1/8 has host bits", id="host-bits"
        ),
        pytest.param([0, 0], [8, 33], [0, 0], "route 1: .* not 33", id="length"),
        pytest.param([-1], [32], [0], "route 0: .* not -1", id="network"),
        pytest.param([0, 0], [8, 9], [0, -1], "route 1: next hop", id="next-hop"),
        pytest.param(
            [0, 1 << 31, 0], [8, 8, 8], [0, 1, 2], r"0\.0\.0\.0/8 is given twice", id="twice"
        ),
        pytest.param([0, 0], [8, 9], [0], "three equal rows", id="too-few"),
    ],
)
def test_a_bad_route_among_many_is_named(networks, lengths, next_hops, complaint):
    with pytest.raises(ValueError, match=complaint):
        DirectIndex.from_arrays(np.array(networks), np.array(lengths), np.array(next_hops))


def test_routes_must_be_whole_numbers():
    with pytest.raises(TypeError, match="whole numbers, not float64"):
        DirectIndex.from_arrays(np.array([0.5]), np.array([8]), np.array([1]))


def test_more_blocks_than_16_bit_entries_could_number():
    """40,000 prefixes of 25 bits in as many different /24s need 40,000 blocks of the second level.

    An entry of 16 bits, one of them the mark, would count to 32,768 and wrap around.
    """
    networks = parse_address("16.0.0.0") + (np.arange(40_000) << 8)
    table = DirectIndex.from_arrays(networks, np.full(40_000, 25), np.arange(40_000))
    assert np.array_equal(table.lookup_many(networks), np.arange(40_000))
    assert (table.lookup_many(networks + 128) == NO_ROUTE).all()
    table.insert(Prefix(int(networks[-1]) + 128, 25), 7)
    assert table.lookup(int(networks[-1]) + 200) == 7
    assert table.lookup(int(networks[7231]) + 200) is None  # where 39,999 would wrap to


def test_number_of_blocks_and_next_hops_fit_into_an_entry():
    """As many blocks as first-level entries, and every next hop plus one, below the length bits."""
    assert int(NUMBER) >= (1 << 24) - 1
    assert int(NUMBER) == MAX_NEXT_HOP + 1


def test_blocks_are_closed_and_used_again():
    """Nothing is left of a block: not its memory, and not its place in the first level."""
    table = DirectIndex()
    table.insert(Prefix(0, 8), 9)
    size = table.memory_bytes
    for turn in range(5):
        hosts = [Prefix(number << 8 | 1, 32) for number in range(60 * turn, 60 * turn + 60)]
        for host in hosts:
            table.insert(host, 1)
            table.insert(host, 2)  # replaced, not counted a second time
        for host in hosts:
            table.withdraw(host)
        assert {table.lookup(host.network) for host in hosts} == {9}
    assert table.memory_bytes == size


def test_the_three_readers_agree():
    routes = invent_routes(8_000, seed=3)  # with more probes than NumPy takes at a time
    table = DirectIndex.from_arrays(*routes)
    probes = np.random.default_rng(2).permutation(probes_of(routes))
    answers = [np.empty(probes.size, np.int32) for _ in range(3)]
    for read, answer in zip([read_entries, read_with_numpy, read_with_loop], answers, strict=True):
        read(table._first, table._second, probes, answer)
    assert np.array_equal(answers[0], answers[1])
    assert np.array_equal(answers[0], answers[2])


@pytest.fixture
def fresh_engine():
    engine.cache_clear()
    yield
    engine.cache_clear()


@pytest.mark.usefixtures("fresh_engine")
def test_numba_does_the_reading_where_it_is_installed():
    pytest.importorskip("numba")
    assert engine().compiled


@pytest.mark.usefixtures("fresh_engine")
def test_without_numba_numpy_does_the_same_work(monkeypatch):
    monkeypatch.setitem(sys.modules, "numba", None)
    table = DirectIndex()
    table.insert(parse_prefix("192.0.2.0/25"), 3)
    addresses = [parse_address("192.0.2.127"), parse_address("192.0.2.128")]
    assert table.lookup_many(addresses).tolist() == [3, NO_ROUTE]
    assert not engine().compiled
    assert "numba" in engine().reason


def test_without_a_place_for_compiled_code_it_is_made_anew(tmp_path):
    """All places that Numba would try are blocked by plain files, which stops even root."""
    pytest.importorskip("numba")
    library = shutil.copytree(
        Path(course_lib.__file__).parent,
        tmp_path / "course_lib",
        ignore=shutil.ignore_patterns("__pycache__"),
    )
    blocked = library / "lookup" / "__pycache__"
    blocked.touch()
    places = {name: str(blocked) for name in ("HOME", "XDG_CACHE_HOME", "NUMBA_CACHE_DIR")}
    program = """if True:
        from course_lib.lookup import DirectIndex
        from course_lib.engine.compiled import prepare
        from course_lib.lookup.direct_index_reader import read_with_loop
        print(DirectIndex().lookup_many([1]).tolist())
        print(prepare([(read_with_loop, None)]).note)
    """
    done = subprocess.run(
        [sys.executable, "-B", "-W", "error", "-c", program],
        env=os.environ | places | {"PYTHONPATH": str(tmp_path)},
        cwd=tmp_path,
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    assert done.stdout.startswith("[-1]\n")
    assert "Not kept for the next start: cannot cache function" in done.stdout
    assert done.stderr == ""


def test_importing_the_tables_does_not_load_numba():
    program = "import course_lib.lookup, sys; print('numba' in sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, timeout=60, check=True
    )
    assert done.stdout == "False\n"
