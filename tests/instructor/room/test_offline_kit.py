"""A kit for laptops without a network: whole for each system, and set up with the network off.

The wheels are invented and small; what is tried is pip itself, a real environment, and a network
namespace with nothing in it (`unshare --net`). The course's own kit is tried by hand.
"""

import importlib.metadata
import json
import os
import subprocess
import sys
import zipfile

import pytest
from packaging.markers import default_environment
from packaging.tags import sys_tags

from instructor.output.text import visible
from instructor.room import kit as kits
from instructor.room.kit import Kit, make_kit
from instructor.room.laptops import SYSTEMS, UnknownLaptopError, named_laptops, this_machine
from instructor.room.run_sheet import write_run_sheet
from instructor.room.wheels import MissingWheelsError, missing
from pages.page_reader import PageReader

UNIT = "01-frames-and-headers"
CLI = "import sys\nopen('ran.txt', 'w').write(' '.join(sys.argv[1:]))\n"


def wheel(folder, name, *requires, version="1.0", tag="py3-none-any", files=None):
    """Write a wheel (packaging.python.org, "Binary distribution format")."""
    folder.mkdir(parents=True, exist_ok=True)
    about = f"{name}-{version}.dist-info"
    metadata = f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n"
    metadata += "".join(f"Requires-Dist: {one}\n" for one in requires)
    contents = {
        f"{about}/METADATA": metadata,
        f"{about}/WHEEL": f"Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: {tag}\n",
        **(files or {f"{name}/__init__.py": ""}),
    }
    rows = "".join(f"{path},,\n" for path in [*contents, f"{about}/RECORD"])
    path = folder / f"{name}-{version}-{tag}.whl"
    with zipfile.ZipFile(path, "w") as archive:
        for one, text in {**contents, f"{about}/RECORD": rows}.items():
            archive.writestr(one, text)
    return path


@pytest.fixture
def shelf(tmp_path):
    """Make a shelf of wheels, as an index has them: some for one system alone."""
    folder = tmp_path / "shelf"
    wheel(folder, "buoy", "rope[long]>=2; sys_platform == 'win32'", "knot; python_version < '3.12'")
    wheel(folder, "rope", version="1.0")
    wheel(folder, "rope", "hemp; extra == 'long'", version="2.1")
    wheel(folder, "knot")
    wheel(folder, "hemp", tag="py3-none-win_amd64")
    wheel(folder, "hemp", tag="py3-none-manylinux_2_17_x86_64")
    wheel(folder, "anchor", tag="cp312-abi3-macosx_11_0_arm64")
    wheel(folder, "anchor", tag="cp311-cp311-manylinux_2_17_x86_64.manylinux2014_x86_64")
    wheel(folder, "pip", version="99.0")
    return folder


@pytest.fixture
def bundle(tmp_path):
    """Make what `release` hands to a kit: a folder with the course's wheel in it."""
    folder = tmp_path / "students" / "hop-by-hop"
    files = {"course_lib/__init__.py": "", "course_lib/cli.py": CLI}
    wheel(folder, "hop_by_hop", "buoy", version="0.1.0", files=files)
    (folder / "START.html").write_text("for those with a network")
    return folder


def names(kit):
    return {path.name.partition("-")[0] for path in (kit.folder / "wheels").iterdir()}


def made(bundle, shelf, *laptops):
    options = ("--no-index", "--find-links", str(shelf))
    return make_kit(bundle, named_laptops(laptops), [UNIT], options)


def test_what_only_another_system_needs_is_in_its_kit(bundle, shelf):
    assert names(made(bundle, shelf, "windows-3.12")) >= {"hop_by_hop", "buoy", "rope", "hemp"}
    there = {path.name for path in (bundle.parent / "hop-by-hop-offline" / "wheels").iterdir()}
    assert "rope-2.1-py3-none-any.whl" in there
    assert not any("manylinux" in name for name in there)


def test_what_an_older_python_needs_is_in_its_kit(bundle, shelf):
    assert "knot" in names(made(bundle, shelf, "mac-3.11", "mac-3.13"))


def test_a_kit_that_cannot_be_made_whole_is_refused_with_the_laptop_and_the_package(bundle, shelf):
    (shelf / "hemp-1.0-py3-none-win_amd64.whl").unlink()
    with pytest.raises(MissingWheelsError, match=r"(?s)windows-3\.12.*hemp"):
        made(bundle, shelf, "windows-3.12")


def test_a_wheel_counts_only_on_laptops_that_can_run_it(tmp_path, shelf):
    course = wheel(tmp_path, "hop_by_hop", "anchor", version="0.1.0")
    lacking = {one: missing(course, *named_laptops([one]), shelf) for one in
               ("mac-3.12", "mac-3.13", "mac-3.11", "linux-3.11", "linux-3.12")}  # fmt: skip
    assert lacking == {"mac-3.12": (), "mac-3.13": (), "mac-3.11": ("anchor",),
                       "linux-3.11": (), "linux-3.12": ("anchor",)}  # fmt: skip


def test_this_machine_is_described_as_packaging_describes_it():
    """Second opinion: `packaging`, asked on the machine itself."""
    laptop, here = this_machine(), default_environment()
    same = ("sys_platform", "os_name", "platform_system", "platform_machine", "python_version",
            "implementation_name", "platform_python_implementation")  # fmt: skip
    assert {name: laptop.markers[name] for name in same} == {name: here[name] for name in same}
    assert set(laptop.tags) - {one for one in laptop.tags if "linux_" in one.platform} <= {
        *sys_tags()
    }


@pytest.mark.parametrize("name", ["beos-3.12", "windows", "windows-3.9", "3.12", ""])
def test_a_laptop_that_is_not_known_is_refused_with_those_that_are(name):
    with pytest.raises(UnknownLaptopError, match="such as windows") as told:
        named_laptops([name])
    assert all(system in str(told.value) for system in SYSTEMS)


def installed_pip(folder):
    """Pack the pip that is installed here as the wheel that it came as."""
    pip = importlib.metadata.distribution("pip")
    with zipfile.ZipFile(folder / f"pip-{pip.version}-py3-none-any.whl", "w") as archive:
        for file in pip.files:
            if file.parts[0].startswith("pip") and file.suffix != ".pyc":
                archive.writestr(file.as_posix(), file.read_binary())


def without_a_network(need):
    """Return the words in front of a command that take every network from it, loopback too."""
    unshare = need("unshare", "apt-get install util-linux")
    words = [unshare, "--map-root-user", "--net"] if os.geteuid() else [unshare, "--net"]
    if subprocess.run([*words, "true"], capture_output=True, check=False).returncode:
        need("namespaces", "let users make namespaces")
    return words


def test_a_laptop_is_set_up_with_the_network_off(bundle, shelf, need):
    (shelf / "pip-99.0-py3-none-any.whl").unlink()
    installed_pip(shelf)
    kit = made(bundle, shelf, this_machine().name)
    command = [*without_a_network(need), sys.executable, "set_up.py"]
    off = {**os.environ, "PIP_INDEX_URL": "http://192.0.2.1/", "PIP_FIND_LINKS": ""}
    done = subprocess.run(
        command, cwd=kit.folder, env=off, capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert (kit.folder / "ran.txt").read_text() == "check-machine"
    (kit.folder / "kit.json").write_text(
        json.dumps({"pythons": ["3.99"], "laptops": [], "course": ""})
    )
    done = subprocess.run(command, cwd=kit.folder, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert "this kit is for Python 3.99" in done.stdout


def test_a_kit_made_again_keeps_its_wheels_and_has_the_newest_course(bundle, shelf, monkeypatch):
    kit = made(bundle, shelf, "linux-3.12")
    assert "python3 set_up.py" in (kit.folder / "START.html").read_text()
    assert "for those" not in (kit.folder / "START.html").read_text()
    (bundle / "hop_by_hop-0.1.0-py3-none-any.whl").unlink()
    wheel(bundle, "hop_by_hop", "buoy", version="0.2.0")
    monkeypatch.setattr(kits, "fetch_wheels", lambda *_: None)
    again = made(bundle, shelf, "linux-3.12")
    there = [path.name for path in (again.folder / "wheels").iterdir()]
    assert [name for name in there if name.startswith("hop_by_hop")] == [
        "hop_by_hop-0.2.0-py3-none-any.whl"
    ]
    assert "buoy-1.0-py3-none-any.whl" in there


def test_the_run_sheet_says_what_when_and_with_which_folder(tmp_path):
    kit = Kit(tmp_path / "hop-by-hop-offline", named_laptops(["windows-3.12"]), 120, 150 << 20)
    write_run_sheet(tmp_path / "RUN-SHEET.html", kit, [UNIT])
    text = (tmp_path / "RUN-SHEET.html").read_text(encoding="utf-8")
    page = PageReader(text)
    assert page.dangers() == []
    assert visible(text) == text
    for words in ("hop-by-hop-offline", "150 MiB in 120 files", "windows-3.12", "110 minutes",
                  "hopbyhop machines FOLDER", "What goes wrong"):  # fmt: skip
        assert words in page.words
