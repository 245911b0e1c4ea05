"""What a file is, told by its first octets and not by its name.

People save a workbook under all kinds of names, and programs add suffixes of their own. A
workbook is text in JSON, so it begins with a curly bracket.
"""

__all__ = ["ASK", "EMPTY", "HEAD", "is_called_workbook", "is_packed", "known_kind",
           "may_be_workbook", "what_it_is"]  # fmt: skip

from pathlib import PurePath

HEAD = 512  # octets that tell
BYTE_ORDER_MARK = b"\xef\xbb\xbf"
WIDE_TEXT = (b"\xff\xfe", b"\xfe\xff")  # byte order marks of UTF-16
PACKED = {
    b"PK\x03\x04": ".zip", b"PK\x05\x06": ".zip", b"\x1f\x8b": ".gz", b"7z\xbc\xaf": ".7z",
    b"Rar!": ".rar", b"BZh": ".bz2", b"\xfd7zXZ": ".xz", b"\x28\xb5\x2f\xfd": ".zst",
}  # fmt: skip
OTHERS = {
    b"%PDF": "a PDF page", b"\x89PNG": "a picture", b"\xff\xd8\xff": "a picture",
    b"SQLite format 3\0": "a database", b"\x7fELF": "a program", b"MZ": "a program",
}  # fmt: skip
PICKLE = (b"\x80\x02", b"\x80\x03", b"\x80\x04", b"\x80\x05")
PAGE = (b"<!doctype", b"<html", b"<?xml")
ASK = "the .ipynb file itself is needed"
EMPTY = "an empty folder: nothing was handed in"


def may_be_workbook(head: bytes) -> bool:
    """Tell whether a file that begins like this may be a workbook: an object in JSON."""
    return head.removeprefix(BYTE_ORDER_MARK).lstrip().startswith(b"{")


def is_packed(head: bytes) -> bool:
    """Tell whether this begins like an archive or a packed file of any kind."""
    return head.startswith(tuple(PACKED))


def is_called_workbook(name: str) -> bool:
    """Tell whether a name says that this is a workbook, whatever was added behind."""
    return ".ipynb" in name.lower()


def what_it_is(head: bytes, name: str) -> str:
    """Say what a file is that is no workbook, and what to do about it."""
    if not head:
        return f"an empty file: {ASK}"
    if PurePath(name).suffix.lower() == ".py":
        return f"a program in Python, not a workbook: {ASK}"
    return known_kind(head) or f"not a workbook: {ASK}"


def known_kind(head: bytes) -> str:
    """Say the same of a file whose octets leave no doubt; '' if they do."""
    start = head.removeprefix(BYTE_ORDER_MARK).lstrip().lower()
    for octets, suffix in PACKED.items():
        if head.startswith(octets):
            return (
                f"an archive ({suffix}) that is not opened here: the workbook is needed, or a .zip"
            )
    for octets, what in OTHERS.items():
        if head.startswith(octets):
            return f"{what}, not a workbook: {ASK}"
    if head.startswith(PICKLE):
        return f"a pickle, which is a program and is never opened: {ASK}"
    if start.startswith(PAGE):
        return f"a page as browsers show it, not a workbook: {ASK}"
    if head.startswith(WIDE_TEXT):
        return f"text in UTF-16, not in UTF-8 as workbooks are: {ASK}"
    return ""
