"""What to say when a machine cannot have a private network: which step failed, and what to do.

The advice is that of the manual pages and of the kernel's documentation; what distributions do by
themselves is marked as common practice.
"""

__all__ = ["NoAbilityError", "why_not"]

import errno
import sys
from pathlib import Path

from course_lib.live.private_network.namespaces import IDS, NETWORK, PROCESSES, USER, StepError

RESTRICTING = (  # a setting, the value with which users make no namespaces, and whose it is
    ("kernel.apparmor_restrict_unprivileged_userns", "1", "AppArmor"),
    ("kernel.unprivileged_userns_clone", "0", "A setting of this kernel"),
)
MOST = {
    USER: "user.max_user_namespaces",
    NETWORK: "user.max_net_namespaces",
    PROCESSES: "user.max_pid_namespaces",
}
ELSEWHERE = "The simulated network does the same in its own time; nothing needs to be mended."


class NoAbilityError(RuntimeError):
    """No private network can be had here: `step` failed, for a `reason`, and `advice` may help."""

    def __init__(self, step: str, reason: str, advice: str) -> None:
        super().__init__(f"{step}: {reason}. {advice}")
        self.step, self.reason, self.advice = step, reason, advice


def why_not(refused: StepError | None = None) -> tuple[str, str, str]:
    """Return the step, the reason and the advice; without a refusal, for what is not Linux."""
    if refused is None:
        reason = f"this is {sys.platform}, and network namespaces are a part of Linux"
        return "Linux", reason, f"{ELSEWHERE} A virtual machine with Linux can do it too."
    return refused.step, refused.reason, _advice(refused)


def _advice(refused: StepError) -> str:
    if refused.number == errno.ENOSPC and refused.step in MOST:
        name = MOST[refused.step]
        return (
            f"No more of them may be made: the limit is {_read(name)}. Whoever looks after this "
            f"machine can raise it: sysctl -w {name}=10000 (user_namespaces(7), namespaces(7))."
        )
    if refused.number in (errno.EPERM, errno.EACCES, errno.EROFS):
        for name, value, who in RESTRICTING:
            if _read(name) == value:
                other = "0" if value == "1" else "1"
                return (
                    f"{who} keeps users from it. If the rules here allow it, whoever looks after "
                    f"this machine can switch that off: sysctl -w {name}={other}."
                )
        if refused.step in (USER, NETWORK, PROCESSES, IDS):
            return (
                "This may be a container whose filter of system calls refuses unshare(2), or one "
                "with a root folder of its own by chroot(2): start it with a filter that allows "
                "namespaces, or work outside it. " + ELSEWHERE
            )
        return (
            "The kernel's settings cannot be written here: in a container, /proc/sys is often "
            "mounted to be read only (common practice). Work outside it. " + ELSEWHERE
        )
    if refused.number in (errno.EINVAL, errno.ENOSYS, errno.EOPNOTSUPP, errno.ENODEV):
        return f"This kernel was built without it. {ELSEWHERE}"
    return f"Nobody foresaw this one. {ELSEWHERE}"


def _read(name: str) -> str | None:
    """Return a setting of the kernel by its name, None if there is none of that name."""
    file = Path("/proc/sys", *name.split("."))
    return file.read_text().strip() if file.exists() else None
