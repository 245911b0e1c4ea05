"""While an answer runs, the libraries are out of its reach, but for what its exercise allows."""

import pytest

from course_lib.runner.runner import StandAlone, run_answer

SUM = "course_lib.checksum.ones_complement_sum"
ERROR = "course_lib.headers.errors.PacketError"


def result(*lines, may_use=()):
    """Run a function of these lines and return what came of it."""
    source = "def f(x):\n" + "".join(f"    {line}\n" for line in lines)
    (only,) = run_answer(StandAlone(source), "f", [[1]], may_use=may_use).results
    return only


@pytest.mark.parametrize(
    "lines",
    [
        ["import course_lib.checksum"],
        ["from course_lib import headers"],
        ["import course_lib.runner.plain_data"],
        ["import course_lib.my_parts"],
        ["import dpkt"],
        ["from scapy.all import IP"],
        ["import instructor.units.items"],
        ["import importlib", "return importlib.import_module('course' + '_lib.checksum')"],
        ["return __import__('course' + '_lib.checksum')"],
        ["exec('import course' + '_lib.checksum')"],
        ["import runpy", "runpy.run_module('course' + '_lib.checksum')"],
        ["import pkgutil", "return pkgutil.resolve_name('course' + '_lib.checksum')"],
    ],
)
def test_nothing_of_them_can_be_imported(lines):
    assert result(*lines).problem.kind in ("ModuleNotFoundError", "ImportError")


def test_none_of_their_modules_is_left_to_be_found():
    found = result(
        "import sys",
        "tops = ('course_' + 'lib', 'scapy', 'dpkt', 'instructor')",
        "there = [n for n, m in sys.modules.items() if m and n.partition('.')[0] in tops]",
        "return sorted(there)",
    )
    assert found.value == []


def test_the_standard_library_and_numpy_are_there():
    assert result("import struct, numpy", "return x").value == 1


def test_what_is_allowed_can_be_imported_and_nothing_beside_it():
    use = [f"from {SUM.rpartition('.')[0]} import ones_complement_sum as s", "return s(b'ab')"]
    assert result(*use, may_use=[SUM, ERROR]).value == 0x6162
    assert result("import course_lib.headers.errors as p", "return p.PacketError.__name__",
                  may_use=[SUM, ERROR]).value == "PacketError"  # fmt: skip
    for line in ("from course_lib.checksum import checksum", "import course_lib.lookup"):
        assert result(line, may_use=[SUM, ERROR]).problem.kinds[-4] == "ImportError"


def test_a_whole_module_can_be_allowed():
    lines = ["from course_lib import checksum", "return checksum.ones_complement_sum(b'ab')"]
    assert result(*lines, may_use=["course_lib.checksum"]).value == 0x6162


def test_drivers_go_on_working():
    answer = StandAlone("class f:\n    def add(self, more):\n        return more + 1\n")
    done = run_answer(answer, "f", [[[["new"], ["add", 2]]]], driver="operate")
    assert done.results[0].value == [3]
