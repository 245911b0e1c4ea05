"""Archives that attack the grader: each with what must be said of it, and who still counts.

Each holds two honest hand-ins, of alder and bracken, around what mallow handed in. One that is
damaged or lies as a whole is refused as a whole; else the honest two are read. What Python's own
`zipfile` and `tarfile` say is what is said here.
"""

import gzip
import io
import json
import tarfile
import zlib
from collections.abc import Callable
from typing import NamedTuple

from hand_ins.archive_parts import (
    BZIP2,
    DEFLATED,
    DEVICE,
    ENCRYPTED,
    END,
    FOLDER,
    LINK,
    LZMA,
    PIPE,
    UTF_8,
    Item,
    Part,
    header,
    padded,
    plain_zip,
    record,
    tar_of,
    zip_of,
)
from hand_ins.hand_in_files import UNIT, blank

MIB = 1 << 20
BOOK = json.dumps(blank()).encode()
HONEST = {f"{name}_{UNIT}.ipynb": BOOK for name in ("alder", "bracken")}
BAD = f"mallow_{UNIT}.ipynb"
OTHER = BOOK.replace(b"cells", b"cells", 1).replace(b"the", b"teh", 1)


class HostileArchive(NamedTuple):
    """An archive's name and octets; `others` tells whether the honest two are still read.

    None: Python's own reader decides. That of 3.11.2 refuses such records, later ones read on.
    """

    name: str
    octets: Callable[[], bytes]
    said: str
    others: bool | None = True
    suffix: str = ".zip"


def zipped(*bad: Part) -> Callable[[], bytes]:
    """Put hostile members between two honest ones."""

    def octets() -> bytes:
        first, last = (Part(name.encode(), data, DEFLATED) for name, data in HONEST.items())
        return zip_of(first, *bad, last)

    return octets


def named(name: str | bytes, flags: int = 0) -> Callable[[], bytes]:
    return zipped(Part(name if isinstance(name, bytes) else name.encode(), BOOK, flags=flags))


def lying(method: int) -> Callable[[], bytes]:
    """60 MiB that call themselves a thousand octets."""
    return lambda: zipped(Part(BAD.encode(), bytes(60 * MIB), method, size=1000))()


def nested(depth: int) -> bytes:
    octets = plain_zip({f"{UNIT}.ipynb": BOOK})
    for number in range(depth):
        octets = plain_zip({f"{number}.zip": octets})
    return octets


def overlapping() -> bytes:
    """Two hundred members, all of them the same octets: 2 GiB in 10 KiB."""
    first = Part(BAD.encode(), bytes(10 * MIB), DEFLATED)
    again = Part(first.name, b"", DEFLATED, size=10 * MIB, packed_size=10_200, offset=0,
                 checksum=zlib.crc32(first.data))  # fmt: skip
    return zip_of(first, *[again] * 200)


def one_octet_other() -> bytes:
    octets = bytearray(zipped(Part(BAD.encode(), BOOK))())
    place = octets.index(b"hop_by_hop", octets.index(BAD.encode()))
    octets[place] ^= 1
    return bytes(octets)


def many_members(count: int) -> bytes:
    return zip_of(*(Part(f"mallow_{number}.ipynb".encode()) for number in range(count)))


def tarred(*bad: bytes, end: bytes = END, packed: bool = False) -> Callable[[], bytes]:
    """Put hostile headers between two honest members."""

    def octets() -> bytes:
        first, last = (
            header(name, tarfile.REGTYPE, len(data)) + padded(data) for name, data in HONEST.items()
        )
        whole = first + b"".join(bad) + last + end
        return gzip.compress(whole, 1) if packed else whole

    return octets


def book(name: str = BAD) -> bytes:
    return header(name, tarfile.REGTYPE, len(BOOK)) + padded(BOOK)


def extended(*records: bytes, kind: bytes = tarfile.XHDTYPE) -> bytes:
    data = b"".join(records)
    return header("about", kind, len(data)) + padded(data)


def item(kind: bytes, leads_to: str = "", data: bytes = b"") -> Callable[[], bytes]:
    return lambda: tar_of(HONEST, Item(BAD, kind, data, leads_to))


def gzipped_zeros(octets: int) -> Callable[[], bytes]:
    def made() -> bytes:
        with io.BytesIO() as packed:
            with gzip.open(packed, "wb", 6) as file:
                file.write(header("mallow_large.bin", tarfile.REGTYPE, octets))
                for _ in range(octets >> 20):
                    file.write(bytes(MIB))
                file.write(tarred()())
            return packed.getvalue()

    return made


def sparse_map_without_end() -> bytes:
    goes_on = bytearray(512)
    goes_on[504] = 1
    return header(BAD, tarfile.GNUTYPE_SPARSE, 0, put={482: b"\1"}) + bytes(goes_on) * 5000


def cut(octets: Callable[[], bytes], share: float) -> Callable[[], bytes]:
    return lambda: octets()[: int(len(octets()) * share)]


def wrong_checksum_of_all() -> bytes:
    octets = bytearray(gzip.compress(tarred()()))
    octets[-8] ^= 1
    return bytes(octets)


def patched(octets: Callable[[], bytes], old: bytes, new: bytes) -> Callable[[], bytes]:
    return lambda: octets().replace(old, new, 1)


IN_A_ZIP = (
    HostileArchive("60-mib-of-zeros", zipped(Part(BAD.encode(), bytes(60 * MIB), DEFLATED)),
                   "too large: 60 MiB"),
    HostileArchive("60-mib-that-lie", lying(DEFLATED), "Bad CRC-32"),
    HostileArchive("60-mib-that-lie-in-bzip2", lying(BZIP2), "Bad CRC-32"),
    HostileArchive("60-mib-that-lie-in-lzma", lying(LZMA), "Bad CRC-32"),
    HostileArchive("more-than-there-is", zipped(Part(BAD.encode(), b"{}", size=5000)), "damaged"),
    HostileArchive("packed-longer-than-the-file",
                   zipped(Part(BAD.encode(), BOOK, packed_size=1 << 30)), "lie upon each other",
                   others=False),
    HostileArchive("nested", lambda: zipped(Part(b"mallow_all.zip", nested(10)))(),
                   "an archive in an archive is not opened"),
    HostileArchive("within-itself", lambda: zipped(Part(b"mallow_x.zip", zipped()()))(),
                   "an archive in an archive is not opened"),
    HostileArchive("overlapping", overlapping, "lie upon each other", others=False),
    HostileArchive("leads-up", named(f"../{BAD}"), "passed over"),
    HostileArchive("leads-up-in-the-middle", named(f"a/../../{BAD}"), "passed over"),
    HostileArchive("leads-up-with-backslashes", named(rf"..\..\{BAD}"), "passed over"),
    HostileArchive("from-the-root", named(f"/etc/{BAD}"), "passed over"),
    HostileArchive("from-a-drive", named(rf"C:\Users\{BAD}"), "passed over"),
    HostileArchive("from-another-machine", named(rf"\\host\share\{BAD}"), "passed over"),
    HostileArchive("no-name", named(""), "passed over"),
    HostileArchive("a-zero-in-the-name", named(f"mallow\0_{UNIT}.ipynb"), "passed over"),
    HostileArchive("a-link", zipped(Part(BAD.encode(), b"/etc/passwd", kind=LINK)), "a link"),
    HostileArchive("a-device", zipped(Part(BAD.encode(), b"", kind=DEVICE)), "not a file"),
    HostileArchive("a-pipe", zipped(Part(BAD.encode(), b"", kind=PIPE)), "not a file"),
    HostileArchive("a-folder", zipped(Part(f"{BAD}/".encode(), kind=FOLDER)), "not a file"),
    HostileArchive("a-folder-in-disguise", zipped(Part(BAD.encode(), kind=FOLDER)), "not a file"),
    HostileArchive("one-name-twice", zipped(Part(BAD.encode(), BOOK), Part(BAD.encode(), OTHER)),
                   "which one counts?"),
    HostileArchive("one-name-in-two-spellings",
                   zipped(Part(f"mallow/a/{UNIT}.ipynb".encode(), BOOK),
                          Part(rf"mallow\.\a\{UNIT}.ipynb".encode(), OTHER)), "which one counts?"),
    HostileArchive("one-name-twice-and-broken",
                   zipped(Part(BAD.encode(), BOOK), Part(BAD.encode(), b"")), "which one counts?"),
    HostileArchive("two-of-one-time", zipped(Part(BAD.encode(), BOOK),
                                             Part(b"mallow_other.ipynb", OTHER)),
                   "which one counts?"),
    HostileArchive("encrypted", zipped(Part(BAD.encode(), BOOK, flags=ENCRYPTED)), "encrypted"),
    HostileArchive("not-utf-8", named(b"mallow_\xff\xfe.ipynb", UTF_8),
                   "'utf-8' codec can't decode", others=False),
    HostileArchive("an-unknown-method", zipped(Part(BAD.encode(), BOOK, method=99)),
                   "compression method is not supported"),
    HostileArchive("a-wrong-checksum", zipped(Part(BAD.encode(), BOOK, checksum=1)), "Bad CRC-32"),
    HostileArchive("one-octet-other", one_octet_other, "Bad CRC-32"),
    HostileArchive("two-names-for-one", patched(named(BAD), BAD.encode(), BAD[::-1].encode()),
                   "differ"),
    HostileArchive("no-workbook", zipped(Part(BAD.encode(), b"<script>alert(1)</script>")),
                   "not JSON"),
    HostileArchive("a-name-of-signs",
                   named("mallow_\r\n<script>\x1b[2J\u202e.ipynb", UTF_8), "renamed"),
    HostileArchive("a-long-name", named(f"mallow_{'x' * 60_000}.ipynb"), "its name is longer"),
    HostileArchive("a-deep-name", named(f"mallow/{'a/' * 30_000}x.ipynb"), "its name is longer"),
    HostileArchive("100,000-members", lambda: many_members(100_000), "more than 50,000 members",
                   others=False),
    HostileArchive("a-directory-that-lies",
                   lambda: zip_of(Part(b"a"), directory_octets=(1 << 32) - 2),
                   "Bad offset", others=False),
    HostileArchive("a-directory-elsewhere", lambda: zip_of(Part(b"a"), start=1 << 31),
                   "cannot be read", others=False),
    HostileArchive("cut", cut(zipped(), 0.5), "not a zip file", others=False),
    HostileArchive("nothing", lambda: b"", "empty", others=False),
    HostileArchive("no-members", zip_of, "nothing in it", others=False),
    HostileArchive("a-text", lambda: b"This is my homework." * 100, "not a zip file", others=False),
)  # fmt: skip

IN_A_TAR = (
    HostileArchive("a-symbolic-link", item(tarfile.SYMTYPE, "/etc/passwd"), "a link"),
    HostileArchive("a-hard-link", item(tarfile.LNKTYPE, f"alder_{UNIT}.ipynb"), "a link"),
    HostileArchive("a-disk", item(tarfile.BLKTYPE), "not a file"),
    HostileArchive("a-terminal", item(tarfile.CHRTYPE), "not a file"),
    HostileArchive("a-fifo", item(tarfile.FIFOTYPE), "not a file"),
    HostileArchive("of-an-unknown-kind", item(b"Z", "", BOOK), "not a file"),
    HostileArchive("up-and-out", tarred(book(f"../{BAD}")), "passed over"),
    HostileArchive("up-and-out-by-a-record",
                   tarred(extended(record("path", f"../../{BAD}")), book()), "passed over"),
    HostileArchive("with-holes", tarred(header(BAD, tarfile.GNUTYPE_SPARSE, 0)),
                   "the file is empty"),
    HostileArchive("with-holes-by-a-record",
                   tarred(extended(record("GNU.sparse.major", "1"),
                                   record("GNU.sparse.minor", "0")), book()),
                   "cannot be read", others=False),
    HostileArchive("holes-without-end", lambda: tarred(sparse_map_without_end())(), "damaged",
                   others=False),
    HostileArchive("a-giant-record",
                   tarred(extended(record("comment", "x" * 20 * MIB)), book()), ""),
    HostileArchive("a-record-that-claims-gigabytes",
                   tarred(header("about", tarfile.XHDTYPE, 7 << 30)), "MiB of memory",
                   others=False),
    HostileArchive("digits-without-end", tarred(extended(b"1" * 15_000), book()), "",
                   others=None),
    HostileArchive("records-upon-each-other", tarred(extended(b"2 " * 10_000 + b"="), book()),
                   "", others=None),
    HostileArchive("a-record-for-all",
                   tarred(extended(record("path", BAD), kind=tarfile.XGLTYPE), book()),
                   "for all members", others=False),
    HostileArchive("less-than-nothing", tarred(header(BAD, tarfile.REGTYPE, -512)), "damaged",
                   others=False),
    HostileArchive("less-than-nothing-by-a-record",
                   tarred(extended(record("size", "-1024")), book()), "damaged", others=False),
    HostileArchive("a-size-that-claims-gigabytes", tarred(header(BAD, tarfile.REGTYPE, 7 << 30)),
                   "unexpected end", others=False),
    HostileArchive("a-time-that-is-none",
                   tarred(extended(record("mtime", "nan"), record("mtime", "1e999")), book()), ""),
    HostileArchive("no-utf-8",
                   tarred(header("mallow_x.ipynb", tarfile.REGTYPE, len(BOOK), put={7: b"\xff"})
                          + padded(BOOK)), "renamed"),
    HostileArchive("300-mib", gzipped_zeros(300 * MIB), "", suffix=".tar.gz"),
    HostileArchive("cut-in-the-middle", cut(tarred(book()), 0.5), "unexpected end", others=False),
    HostileArchive("no-end", tarred(book(), end=b""), "damaged or cut", others=False),
    HostileArchive("two-in-one", lambda: tarred()() * 2, "two archives in one", others=False),
    HostileArchive("cut-and-packed", cut(tarred(book(), packed=True), 0.9), "ended before the end",
                   others=False, suffix=".tgz"),
    HostileArchive("wrong-checksum-of-all", wrong_checksum_of_all, "CRC check failed", others=False,
                   suffix=".tar.gz"),
    HostileArchive("zeros-packed", lambda: gzip.compress(bytes(MIB)), "nothing in it",
                   others=False, suffix=".tar.gz"),
    HostileArchive("a-text-packed", lambda: gzip.compress(b"my homework" * 100), "invalid header",
                   others=False, suffix=".tar.gz"),
)  # fmt: skip

HOSTILE_ARCHIVES = (
    *IN_A_ZIP,
    *(one if one.suffix != ".zip" else one._replace(suffix=".tar") for one in IN_A_TAR),
)
