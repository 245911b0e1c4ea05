"""Tell a course folder that `release` made from one that somebody else wrote.

The settings of a course folder are a program, and hand-ins may hold anything, a folder that looks
like a course's among it. So `release` seals what it writes with a key that only this account has,
and a folder that nobody named is taken for a course folder only if its seal is right. The seal is
over what it says and not over where it lies: a folder that was moved or copied keeps it. Another
account, or another machine, has another key; whoever grades there names the folder.
"""

__all__ = ["is_sealed", "seal"]

import hashlib
import hmac
import json
import os
import secrets
from collections.abc import Mapping
from pathlib import Path

KEY_FILE = "hop-by-hop/release.key"
KEY_OCTETS = 32
SEAL = "seal"


def seal(said: Mapping[str, object]) -> str:
    """Return the seal over what a course folder says; '' if this account can keep no key."""
    try:
        return _over(said, _key() or _new_key())
    except OSError:  # no home, or none that can be written: then the folder must be named
        return ""


def is_sealed(said: Mapping[str, object]) -> bool:
    """Tell whether this account sealed just that."""
    given, key = said.get(SEAL), _key()
    rest = {name: value for name, value in said.items() if name != SEAL}
    return key is not None and isinstance(given, str) and (
        hmac.compare_digest(given.encode(), _over(rest, key).encode())
    )  # fmt: skip


def _over(said: Mapping[str, object], key: bytes) -> str:
    text = json.dumps(said, sort_keys=True)
    return hmac.new(key, text.encode(), hashlib.sha256).hexdigest()


def _key_path() -> Path:
    home = os.environ.get("XDG_CONFIG_HOME") or Path.home() / ".config"
    return Path(home) / KEY_FILE


def _key() -> bytes | None:
    try:
        key = _key_path().read_bytes()
    except OSError:
        return None
    return key if len(key) == KEY_OCTETS else None


def _new_key() -> bytes:
    """Make a key that only this account can read; if another process was quicker, take that one."""
    path = _key_path()
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    own = path.with_name(f"{path.name}.{os.getpid()}")
    own.unlink(missing_ok=True)
    with os.fdopen(os.open(own, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
        file.write(secrets.token_bytes(KEY_OCTETS))
    if not path.exists():
        own.replace(path)
    own.unlink(missing_ok=True)
    return path.read_bytes()
