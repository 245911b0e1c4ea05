"""Archives put together octet by octet, so that they can lie; and honest ones, as programs do."""

import bz2
import io
import lzma
import struct
import tarfile
import zipfile
import zlib
from typing import NamedTuple

STORED, DEFLATED, BZIP2, LZMA = 0, 8, 12, 14
LINK, DEVICE, PIPE, FOLDER = 0o120777 << 16, 0o020666 << 16, 0o010666 << 16, 0o040755 << 16
ENCRYPTED, UTF_8 = 1, 1 << 11


class Part(NamedTuple):
    """One member of a .zip as it is to be written; what is None is as it should be."""

    name: bytes
    data: bytes = b""
    method: int = STORED
    flags: int = 0
    kind: int = 0
    size: int | None = None
    packed_size: int | None = None
    checksum: int | None = None
    offset: int | None = None
    comment: bytes = b""


def zip_of(*parts: Part, directory_octets: int | None = None, start: int | None = None) -> bytes:
    """Return a .zip (APPNOTE.TXT 6.3, sections 4.3.7, 4.3.12 and 4.3.16)."""
    body, directory = io.BytesIO(), io.BytesIO()
    for part in parts:
        packed = _packed(part)
        size = len(part.data) if part.size is None else part.size
        packed_size = len(packed) if part.packed_size is None else part.packed_size
        crc = zlib.crc32(part.data) if part.checksum is None else part.checksum
        sizes = (part.flags, part.method, 0, 0x5821, crc, packed_size, size, len(part.name))
        offset = body.tell() if part.offset is None else part.offset
        if part.offset is None:
            body.write(_local(sizes) + part.name + packed)
        entry = (*sizes, 0, len(part.comment), 0, 0, part.kind, offset)
        directory.write(struct.pack("<4sHH", b"PK\x01\x02", 0x031E, 20))
        directory.write(struct.pack("<HHHHIIIHHHHHII", *entry) + part.name + part.comment)
    listed = directory.getvalue()
    octets = len(listed) if directory_octets is None else directory_octets
    count = min(len(parts), 0xFFFF)
    at = body.tell() if start is None else start
    end = struct.pack("<4sHHHHIIH", b"PK\x05\x06", 0, 0, count, count, octets, at, 0)
    return body.getvalue() + listed + end


def _local(sizes: tuple[int, ...]) -> bytes:
    return struct.pack("<4sH", b"PK\x03\x04", 20) + struct.pack("<HHHHIIIHH", *sizes, 0)


def _packed(part: Part) -> bytes:
    if part.method == DEFLATED:
        packer = zlib.compressobj(9, zlib.DEFLATED, -15)
        return packer.compress(part.data) + packer.flush()
    if part.method == BZIP2:
        return bz2.compress(part.data)
    if part.method == LZMA:
        alone = lzma.compress(part.data, lzma.FORMAT_ALONE, preset=0)
        return b"\x05\x04\x05\x00" + alone[:5] + alone[13:]
    return part.data


def plain_zip(files: dict[str, bytes], method: int = DEFLATED) -> bytes:
    """Return a .zip as Python writes it."""
    with io.BytesIO() as octets:
        with zipfile.ZipFile(octets, "w", method) as archive:
            for name, data in files.items():
                archive.writestr(name, data)
        return octets.getvalue()


class Item(NamedTuple):
    """One member of a .tar that is no plain file."""

    name: str
    kind: bytes = tarfile.REGTYPE
    data: bytes = b""
    leads_to: str = ""


def tar_of(files: dict[str, bytes], *items: Item, packed: bool = False, **more: object) -> bytes:
    """Return a .tar or .tar.gz as Python writes it, with odd members at its end."""
    with io.BytesIO() as octets:
        with tarfile.open(fileobj=octets, mode="w:gz" if packed else "w", **more) as archive:
            for name, data in files.items():
                archive.addfile(_info(name, len(data)), io.BytesIO(data))
            for item in items:
                info = _info(item.name, len(item.data))
                info.type, info.linkname = item.kind, item.leads_to
                archive.addfile(info, io.BytesIO(item.data) if item.data else None)
        return octets.getvalue()


def _info(name: str, size: int) -> tarfile.TarInfo:
    info = tarfile.TarInfo(name)
    info.size, info.mtime = size, 1_700_000_000
    return info


def header(name: str, kind: bytes, size: int, **more: object) -> bytes:
    """Return one header of a .tar; what `tarfile` would not write is put in afterwards."""
    info = _info(name, 0)
    info.type = kind
    block = bytearray(info.tobuf(tarfile.GNU_FORMAT)[:512])
    block[124:136] = b"%011o\0" % size if size >= 0 else (size & (1 << 96) - 1).to_bytes(12)
    for place, octets in more.get("put", {}).items():
        block[place : place + len(octets)] = octets
    return bytes(with_checksum(block))


def with_checksum(block: bytearray) -> bytearray:
    block[148:156] = b" " * 8
    block[148:156] = b"%06o\0 " % sum(block)
    return block


def padded(data: bytes) -> bytes:
    return data + bytes(-len(data) % 512)


def record(key: str, value: str) -> bytes:
    """Return one record of an extended header (POSIX.1-2017, pax)."""
    rest = f" {key}={value}\n".encode()
    length = len(rest) + 1
    while len(str(length)) + len(rest) != length:
        length = len(str(length)) + len(rest)
    return str(length).encode() + rest


END = bytes(1024)
