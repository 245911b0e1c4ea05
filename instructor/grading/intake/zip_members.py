"""Read the members of a .zip in memory, within limits.

Python's `zipfile` reads the directory and finds the members. What it would believe is looked
at first: the directory's length, members that lie upon each other, names that are not the
UTF-8 which they claim to be. A member that cannot be read costs the others nothing.

Source: PKWARE, APPNOTE.TXT 6.3, sections 4.3 (the parts), 4.4 (their fields), 5.8 (LZMA).
"""

__all__ = ["ZipReader"]

import bz2
import copy
import lzma
import stat
import struct
import zipfile
import zlib
from collections.abc import Collection, Iterator
from itertools import pairwise
from typing import IO

from instructor.grading.intake.archive_members import (
    A_LINK,
    NOT_A_FILE,
    SIZE_LIMIT,
    ArchiveError,
    Content,
    Limits,
    Member,
    damage_in_words,
    of_bearable_length,
    too_large,
    too_many,
)

DIRECTORY_LIMIT = 16 << 20  # octets of the directory
ENTRY = struct.Struct("<4s4xH18x3H12x")  # signature, flags, lengths of name, extra and comment
ENTRY_SIGNATURE, HEADER_OCTETS = b"PK\x01\x02", 30
ENCRYPTED, END_MARK, UTF_8 = 1 << 0, 1 << 1, 1 << 11  # flags
STORED, DEFLATED, BZIP2, LZMA = 0, 8, 12, 14  # methods
LZMA_MEMORY = 160 << 20  # octets; a dictionary of 64 MiB, the largest in use, needs half
ODD_KINDS = frozenset({stat.S_IFIFO, stat.S_IFCHR, stat.S_IFBLK, stat.S_IFSOCK, stat.S_IFDIR})


class ZipReader:
    """An open .zip; see `Reader`."""

    def __init__(self, file: IO[bytes], limits: Limits) -> None:
        self._limits = limits
        with damage_in_words():
            guard = _Directory(file)
            try:
                self._archive = zipfile.ZipFile(guard)
            except zipfile.BadZipFile as problem:
                raise ArchiveError(f"damaged, or no archive that is read ({problem})") from problem
        guard.is_read = True
        self._not_utf_8 = guard.not_utf_8

    def members(self) -> tuple[Member, ...]:
        """Return all members, in order."""
        infos = self._archive.infolist()
        if len(infos) > self._limits.members:
            raise too_many(self._limits)
        with damage_in_words():
            _refuse_overlaps(infos)
            return tuple(self._member(number, info) for number, info in enumerate(infos))

    def read(self, wanted: Collection[int]) -> Iterator[Content]:
        """Read the members of these numbers, in the order in which they lie there."""
        left = self._limits.octets
        for number, info in enumerate(self._archive.infolist()):
            if number not in wanted:
                continue
            left -= info.file_size
            if left < 0:
                most = f"{self._limits.octets >> 20:,} MiB"
                yield Content(number, b"", f"the archive holds more than {most} in all")
                continue
            try:
                with damage_in_words():
                    octets = _octets(self._archive, info)
            except ArchiveError as problem:
                yield Content(number, b"", str(problem))
            else:
                yield Content(number, octets)

    def _member(self, number: int, info: zipfile.ZipInfo) -> Member:
        broken = number in self._not_utf_8
        name = _name(info, broken)
        changed = 0
        for part, size in zip(info.date_time, (1, 13, 32, 32, 64, 64), strict=True):
            changed = changed * size + part
        problem = "its name is not UTF-8" if broken else _problem(info)
        is_folder = name.endswith(("/", "\\"))
        return of_bearable_length(Member(number, name, changed, is_folder, problem))


def _name(info: zipfile.ZipInfo, broken: bool) -> str:
    """Return the whole name; some programs write UTF-8 without saying so."""
    name = info.orig_filename
    if info.flag_bits & UTF_8 or name.isascii():
        return name
    octets = name.encode("cp437")
    if broken or _is_utf_8(octets):
        return octets.decode("utf-8", "surrogateescape")
    return name


def _problem(info: zipfile.ZipInfo) -> str:
    kind = stat.S_IFMT(info.external_attr >> 16)  # 0 where the system has no such kinds
    if info.flag_bits & ENCRYPTED:
        return "encrypted: it must be packed without a password"
    if kind == stat.S_IFLNK:
        return A_LINK
    if kind in ODD_KINDS:
        return NOT_A_FILE
    if info.compress_type not in (STORED, DEFLATED, BZIP2, LZMA):
        return f"packed in a way that is not read (method {info.compress_type})"
    return too_large(info.file_size) if info.file_size > SIZE_LIMIT else ""


def _refuse_overlaps(infos: Collection[zipfile.ZipInfo]) -> None:
    """Refuse an archive in which the same octets are packed for several members."""
    spans = sorted((one.header_offset, one.compress_size) for one in infos)
    if any(start + HEADER_OCTETS + size > after for (start, size), (after, _) in pairwise(spans)):
        raise ArchiveError("its members lie upon each other, as in no honest archive")


def _octets(archive: zipfile.ZipFile, info: zipfile.ZipInfo) -> bytes:
    """Unpack a member; what comes must have the size and the checksum that are named."""
    if info.compress_type in (STORED, DEFLATED):
        with archive.open(info) as file:
            octets = file.read(info.file_size)
    else:
        packed = copy.copy(info)  # to be read as it lies there
        packed.compress_type, packed.file_size = STORED, info.compress_size
        del packed.CRC  # that of what it unpacks to
        with archive.open(packed) as file:
            octets = _unpacked(file, info)
    if len(octets) != info.file_size or zlib.crc32(octets) != info.CRC:
        raise ArchiveError("damaged: its size or its checksum is wrong")
    return octets


def _unpacked(file: IO[bytes], info: zipfile.ZipInfo) -> bytes:
    """Unpack piece by piece, up to one octet more than there should be."""
    unpacker: bz2.BZ2Decompressor | lzma.LZMADecompressor = bz2.BZ2Decompressor()
    piece = b""
    if info.compress_type == LZMA:
        unpacker = lzma.LZMADecompressor(lzma.FORMAT_ALONE, LZMA_MEMORY)
        piece = _lzma_head(file.read(9), info)
    pieces: list[bytes] = []
    left = info.file_size + 1
    while left > 0 and not unpacker.eof:
        if unpacker.needs_input and not piece:
            piece = file.read(1 << 16)
            if not piece:
                break
        pieces.append(unpacker.decompress(piece, left))
        left -= len(pieces[-1])
        piece = b""
    return b"".join(pieces)


def _lzma_head(head: bytes, info: zipfile.ZipInfo) -> bytes:
    """Return the head of a .lzma file in place of that in a .zip: two octets each of version and
    length, and five of properties."""
    if head[2:4] != b"\x05\x00":
        raise ArchiveError("damaged: no LZMA in it")
    size = -1 if info.flag_bits & END_MARK else info.file_size
    return head[4:] + struct.pack("<q", size)


class _Directory:
    """The file as `zipfile` sees it: its directory has a limit, and all names can be decoded.

    One name that is not the UTF-8 which it claims to be would keep `zipfile` from opening
    the archive. Such names lose the claim, and their numbers are noted.
    """

    def __init__(self, file: IO[bytes]) -> None:
        self.not_utf_8: set[int] = set()
        self.is_read = False
        self.seek, self.tell, self.seekable = file.seek, file.tell, file.seekable
        self._file = file

    def read(self, octets: int = -1) -> bytes:
        if self.is_read:
            return self._file.read(octets)
        if octets > DIRECTORY_LIMIT:
            most = f"{DIRECTORY_LIMIT >> 20} MiB"
            raise ArchiveError(f"its list of members is larger than {most}: nothing was read")
        data = self._file.read(octets)
        return self._with_sound_names(data) if data.startswith(ENTRY_SIGNATURE) else data

    def _with_sound_names(self, data: bytes) -> bytes:
        sound = bytearray(data)
        at = number = 0
        while len(entry := data[at : at + ENTRY.size]) == ENTRY.size:
            _, flags, name, extra, comment = ENTRY.unpack(entry)
            if flags & UTF_8 and not _is_utf_8(data[at + ENTRY.size : at + ENTRY.size + name]):
                self.not_utf_8.add(number)
                sound[at + 9] &= ~(UTF_8 >> 8) & 0xFF
            at += ENTRY.size + name + extra + comment
            number += 1
        return bytes(sound)


def _is_utf_8(octets: bytes) -> bool:
    try:
        return bool(octets.decode("utf-8")) or not octets
    except UnicodeDecodeError:
        return False
