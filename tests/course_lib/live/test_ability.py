"""What is found out about a machine, on machines that are made to refuse.

A program changes what it may do itself, and then tries: so the refusals are the kernel's own.
"""

import errno
import json
import os
import subprocess
import sys
from types import SimpleNamespace

import pytest

from course_lib.live import (
    Ability,
    NoAbilityError,
    PrivateNetwork,
    SimulatedNetwork,
    live_ability,
    live_or_simulated,
    pier_plan,
)
from course_lib.live.private_network import refusals
from course_lib.live.private_network.namespaces import NETWORK, PROCESSES, USER, StepError
from course_lib.live.private_network.trial import LARGEST_FRAME_OCTETS, try_private_network

TRY = """
import json
from course_lib.live.private_network.refusals import NoAbilityError
from course_lib.live.private_network.trial import try_private_network
try:
    print(json.dumps([try_private_network() > 0]))
except NoAbilityError as refused:
    print(json.dumps([False, refused.step, refused.reason, refused.advice]))
"""
ADMINISTRATOR = """
from course_lib.live.private_network.namespaces import private_users_and_processes
private_users_and_processes()
import os, sys
if os.fork():
    sys.exit(os.waitstatus_to_exitcode(os.wait()[1]))
"""
NO_MORE = ADMINISTRATOR + "open('/proc/sys/user/max_{}_namespaces', 'w').write('0')\n" + TRY
FILTERED = (
    """
import ctypes
from instructor.grading.sandbox.inside.system_calls import forbid_system_calls
ctypes.CDLL(None).prctl(38, 1, 0, 0, 0)
forbid_system_calls()
"""
    + TRY
)
JOIN = """
from course_lib.live.private_network.supervised import Supervised
supervised = Supervised()
ends = []
for number, place in enumerate(("one", "other")):
    supervised.order("add_place", name=place, settings={})
    device = ("wired", f"00:00:5e:00:53:0{number}", 1500)
    ends.append({"place": place, "device": device, "address": (f"192.0.2.{number}", 31, None)})
supervised.order("add_link", ends=ends)
supervised.close()
print("joined")
"""
A_USER = (  # who may read the files of this environment, wherever they are, and nothing else
    "setpriv", "--reuid=61001", "--regid=61001", "--clear-groups",
    "--inh-caps=+dac_read_search", "--ambient-caps=+dac_read_search", "--",
)  # fmt: skip


def tried(program):
    """Return what was found out in a program of its own."""
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return Ability(*json.loads(done.stdout))


def test_a_tcp_connection_comes_up_and_no_frame_is_larger_than_a_link_carries(live):
    assert try_private_network() == LARGEST_FRAME_OCTETS


@pytest.mark.parametrize(("which", "step"), [("user", USER), ("net", NETWORK), ("pid", PROCESSES)])
def test_a_limit_of_0_is_told_with_its_name(live, which, step):
    said = tried(NO_MORE.format(which))
    assert (said.is_there, said.step) == (False, step)
    assert f"user.max_{which}_namespaces" in said.advice
    assert "the limit is 0" in said.advice


def test_a_filter_of_system_calls_is_told(live):
    said = tried(FILTERED)
    assert (said.is_there, said.step) == (False, USER)
    assert "container" in said.advice


def test_no_root_is_needed_to_make_the_networks(live, need):
    """Programs are not started here: the files of this environment may be closed to other users."""
    need("setpriv", "apt-get install util-linux")
    before = A_USER if os.geteuid() == 0 else ()
    done = subprocess.run(
        [*before, sys.executable, "-B", "-c", JOIN], capture_output=True, text=True, check=False
    )
    assert done.stdout == "joined\n", done.stderr


@pytest.mark.parametrize("platform", ["darwin", "win32"])
def test_other_systems_are_told_at_once_and_get_the_simulated_network(monkeypatch, platform):
    for module in ("trial", "private_network"):
        name = f"course_lib.live.private_network.{module}.sys"
        monkeypatch.setattr(name, SimpleNamespace(platform=platform))
    where = live_ability()
    assert not where.is_there
    assert "part of Linux" in repr(where)
    assert "simulated network" in repr(where)
    assert isinstance(live_or_simulated(pier_plan(), where), SimulatedNetwork)
    with pytest.raises(NoAbilityError, match="part of Linux"), PrivateNetwork(pier_plan()):
        pass


def test_a_machine_with_the_ability_gets_the_private_network():
    assert isinstance(live_or_simulated(pier_plan(), Ability(True)), PrivateNetwork)
    assert "real" in repr(Ability(True))


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("kernel.apparmor_restrict_unprivileged_userns", "1", "userns=0"),
        ("kernel.unprivileged_userns_clone", "0", "userns_clone=1"),
    ],
)
def test_a_switch_of_the_kernel_is_told_with_how_to_turn_it(monkeypatch, name, value, words):
    monkeypatch.setattr(refusals, "_read", {name: value}.get)
    refused = StepError(USER, errno.EPERM, "Operation not permitted")
    assert words in refusals.why_not(refused)[2]
    assert words not in refusals.why_not(refused)[1]
