"""Archives of people who mean well, as programs and upload pages make them: all of it counts."""

import gzip
import io
import json
import tarfile
import zipfile
from collections.abc import Callable
from typing import NamedTuple

from hand_ins.archive_parts import (
    BZIP2,
    DEFLATED,
    FOLDER,
    LZMA,
    STORED,
    Part,
    plain_zip,
    tar_of,
    zip_of,
)
from hand_ins.hand_in_files import UNIT, blank

BOOK = json.dumps(blank()).encode()
CLASS = ("alder", "bracken", "clover")
SIDE_BY_SIDE = {f"{name}_{UNIT}.ipynb": BOOK for name in CLASS}
AS_THE_GRADEBOOK = {f"{name}/{UNIT}/{UNIT}.ipynb": BOOK for name in CLASS}


class OddArchive(NamedTuple):
    """An archive's name and octets; `students` are all who must be found in it."""

    name: str
    octets: Callable[[], bytes]
    students: tuple[str, ...] = CLASS
    roster: tuple[str, ...] = ()


def below(folder: str, files: dict[str, bytes]) -> dict[str, bytes]:
    return {f"{folder}{name}": data for name, data in files.items()}


def with_backslashes() -> bytes:
    return zip_of(*(Part(name.replace("/", "\\").encode(), data, DEFLATED)
                    for name, data in AS_THE_GRADEBOOK.items()))  # fmt: skip


def with_folders() -> bytes:
    folders = [
        Part(f"{name}/{rest}".encode(), kind=FOLDER) for name in CLASS for rest in ("", f"{UNIT}/")
    ]
    return zip_of(*folders, *(Part(name.encode(), data) for name, data in AS_THE_GRADEBOOK.items()))


def written_without_going_back() -> bytes:
    """As a program writes into a pipe: sizes and checksums come behind the data."""

    class Pipe(io.BytesIO):
        def seekable(self) -> bool:
            return False

        def seek(self, *_: object) -> int:
            raise io.UnsupportedOperation

        def tell(self) -> int:
            raise io.UnsupportedOperation

    pipe = Pipe()
    with zipfile.ZipFile(pipe, "w", DEFLATED) as archive:
        for name, data in SIDE_BY_SIDE.items():
            archive.writestr(name, data)
    return pipe.getvalue()


def with_large_fields() -> bytes:
    """As for members of more than 4 GiB (APPNOTE.TXT 6.3, section 4.5.3)."""
    with io.BytesIO() as octets:
        with zipfile.ZipFile(octets, "w", DEFLATED) as archive:
            for name, data in SIDE_BY_SIDE.items():
                with archive.open(name, "w", force_zip64=True) as file:
                    file.write(data)
        return octets.getvalue()


def with_a_comment() -> bytes:
    with io.BytesIO(plain_zip(SIDE_BY_SIDE)) as octets:
        with zipfile.ZipFile(octets, "a") as archive:
            archive.comment = b"downloaded on Monday"
        return octets.getvalue()


def in_pieces() -> bytes:
    """Several gzip members one after the other are one file (RFC 1952, section 2.2)."""
    whole = tar_of(SIDE_BY_SIDE)
    return b"".join(gzip.compress(whole[at : at + 50_000]) for at in range(0, len(whole), 50_000))


def names_in_utf_8_that_do_not_say_so() -> bytes:
    return zip_of(*(Part(f"{name}_Übung 1.ipynb".encode(), BOOK) for name in CLASS))


def what_other_programs_leave(files: dict[str, bytes]) -> dict[str, bytes]:
    """Add what macOS, an editor and JupyterLab put beside each file."""
    left: dict[str, bytes] = {}
    for name in files:
        folder, _, last = name.rpartition("/")
        left[f"__MACOSX/{folder}/._{last}".replace("//", "/")] = b"\0\5\x16\7"
        left[f"{folder}/.ipynb_checkpoints/{last}".lstrip("/")] = b"{}"
        left[f"{folder}/.DS_Store".lstrip("/")] = b"\0\0\0\1Bud1"
    return {**left, **files}


def with_things_beside() -> dict[str, bytes]:
    beside = {"notes.pdf": b"%PDF", "measured.csv": b"1,2\n", "progress.json": b"{}",
              "timestamp.txt": b"2026-05-04 10:00:00 UTC\n", "helpers.py": b"x = 1\n"}  # fmt: skip
    return {
        **AS_THE_GRADEBOOK,
        **{f"{name}/{UNIT}/{file}": data for name in CLASS for file, data in beside.items()},
    }


def the_same_twice() -> bytes:
    return zip_of(*(Part(name.encode(), data) for name, data in [*SIDE_BY_SIDE.items()] * 2))


ODD_ARCHIVES = (
    OddArchive("side-by-side.zip", lambda: plain_zip(SIDE_BY_SIDE)),
    OddArchive("as-the-gradebook.zip", lambda: plain_zip(AS_THE_GRADEBOOK)),
    OddArchive("CAPITALS.ZIP", lambda: plain_zip(SIDE_BY_SIDE)),
    OddArchive("stored.zip", lambda: plain_zip(SIDE_BY_SIDE, STORED)),
    OddArchive("bzip2.zip", lambda: plain_zip(SIDE_BY_SIDE, BZIP2)),
    OddArchive("lzma.zip", lambda: plain_zip(SIDE_BY_SIDE, LZMA)),
    OddArchive("lzma-of-known-size.zip",
               lambda: zip_of(*(Part(n.encode(), d, LZMA) for n, d in SIDE_BY_SIDE.items()))),
    OddArchive("backslashes.zip", with_backslashes),
    OddArchive("folders-named.zip", with_folders),
    OddArchive("from-a-pipe.zip", written_without_going_back),
    OddArchive("large-fields.zip", with_large_fields),
    OddArchive("with-a-comment.zip", with_a_comment),
    OddArchive("behind-a-program.zip", lambda: b"MZ a program" * 99 + plain_zip(SIDE_BY_SIDE)),
    OddArchive("names-in-utf-8.zip", names_in_utf_8_that_do_not_say_so),
    OddArchive("really-a-tar.zip", lambda: tar_of(SIDE_BY_SIDE, packed=True)),
    OddArchive("a-level-more.zip", lambda: plain_zip(below("hand-ins/", AS_THE_GRADEBOOK))),
    OddArchive("a-level-more-flat.zip", lambda: plain_zip(below("hand-ins/", SIDE_BY_SIDE))),
    OddArchive("a-level-more-and-a-roster.zip",
               lambda: plain_zip({"hand-ins/my alder.ipynb": BOOK}), ("alder",), ("alder", "dill")),
    OddArchive("a-folder-for-the-unit.zip", lambda: plain_zip(below(f"{UNIT}/", SIDE_BY_SIDE))),
    OddArchive("one-student-alone.zip",
               lambda: plain_zip({f"alder/{UNIT}/{UNIT}.ipynb": BOOK}), ("alder",)),
    OddArchive("left-by-programs.zip",
               lambda: plain_zip(what_other_programs_leave(AS_THE_GRADEBOOK))),
    OddArchive("left-by-programs-flat.zip",
               lambda: plain_zip(what_other_programs_leave(SIDE_BY_SIDE))),
    OddArchive("things-beside.zip", lambda: plain_zip(with_things_beside())),
    OddArchive("the-same-twice.zip", the_same_twice),
    OddArchive("plain.tar", lambda: tar_of(SIDE_BY_SIDE)),
    OddArchive("as-the-gradebook.tar.gz", lambda: tar_of(AS_THE_GRADEBOOK, packed=True)),
    OddArchive("short-name.tgz", lambda: tar_of(SIDE_BY_SIDE, packed=True)),
    OddArchive("from-here.tar.gz", lambda: tar_of(below("./", AS_THE_GRADEBOOK), packed=True)),
    OddArchive("in-pieces.tar.gz", in_pieces),
    OddArchive("ustar.tar", lambda: tar_of(AS_THE_GRADEBOOK, format=tarfile.USTAR_FORMAT)),
    OddArchive("long-names-gnu.tar", lambda: tar_of(
        {f"{name}/{'deep/' * 50}{UNIT}.ipynb": BOOK for name in CLASS},
        format=tarfile.GNU_FORMAT)),
    OddArchive("long-names-pax.tar", lambda: tar_of(
        {f"{name}/{'tief für alle/' * 20}{UNIT}.ipynb": BOOK for name in CLASS},
        format=tarfile.PAX_FORMAT)),
    OddArchive("about-all.tar", lambda: tar_of(SIDE_BY_SIDE, pax_headers={"comment": "a class"})),
)  # fmt: skip
