"""Whether a picture's file is whole, by its container alone: nothing is unpacked.

Each of these kinds says how long it is or how it ends: what was cut off shows without its pixels.
"""

import struct
from collections.abc import Callable
from mmap import ACCESS_READ, mmap
from pathlib import Path

_END_OF_JPEG = b"\xff\xd9"
HEAD = 12
_HEIF_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"mif1", b"msf1"}
HEAD_OF_FILM = 64
_EBML = b"\x1a\x45\xdf\xa3"
# Sound alone, and still pictures: the same boxes hold them.
_NO_FILMS = (b"M4A", b"M4B", b"M4P", b"avif", b"avis", b"hevc")
_OLD_QUICKTIME = {b"moov", b"mdat", b"wide"}  # from before files named their kind
_BOX = struct.Struct(">I4s")


def is_whole(path: Path, kind: str) -> bool:
    """Whether a file of a kind (by Pillow's name for it) reaches to its own end."""
    with path.open("rb") as file, mmap(file.fileno(), 0, access=ACCESS_READ) as content:
        return _WHOLE[kind](content)


def begins_well(head: bytes) -> bool:
    """Whether the first bytes of a file are those of a picture that is kept."""
    if head[4:8] == b"ftyp":
        return head[8:12] in _HEIF_BRANDS
    is_webp = head.startswith(b"RIFF") and head[8:12] == b"WEBP"
    return is_webp or head.startswith((b"\xff\xd8\xff", b"\x89PNG\r\n"))


def film_type(head: bytes) -> str:
    """The media type of a film by the first bytes of its file; empty for whatever is none."""
    if head.startswith(_EBML):
        return "video/webm" if b"webm" in head[:HEAD_OF_FILM] else "video/x-matroska"
    kind, brand = head[4:8], head[8:12]
    if kind == b"ftyp":
        if brand in _HEIF_BRANDS or brand.startswith(_NO_FILMS):
            return ""
        return "video/quicktime" if brand == b"qt  " else "video/mp4"
    return "video/quicktime" if kind in _OLD_QUICKTIME else ""


def _webp(content: mmap) -> bool:
    """RIFF: eight bytes of head, then as many as it says."""
    (length,) = struct.unpack_from("<I", content, 4)
    return bool(8 + length <= len(content))


def _heif(content: mmap) -> bool:
    """Boxes in a row, each with its length, the last of them ending with the file."""
    at, end, kinds = 0, len(content), set()
    while at + _BOX.size <= end:
        length, kind = _BOX.unpack_from(content, at)
        if length == 1:  # a length of 64 bits follows
            length = struct.unpack_from(">Q", content, at + 8)[0] if at + 16 <= end else 0
        elif length == 0:  # to the end of the file
            length = end - at
        if length < _BOX.size or at + length > end:
            return False
        kinds.add(kind)
        at += length
    return b"meta" in kinds


def _jpeg(content: mmap) -> bool:
    """Segments up to the first scan; from there on only the end itself bears its mark."""
    at = 2
    while at + 4 <= len(content) and content[at] == 0xFF:
        if content[at + 1] == 0xDA:
            return content.find(_END_OF_JPEG, at) > 0
        if content[at + 1] == 0xFF:  # a filling byte
            at += 1
        else:
            at += 2 + int.from_bytes(content[at + 2 : at + 4], "big")
    return False


_WHOLE: dict[str, Callable[[mmap], bool]] = {
    "HEIF": _heif,
    "JPEG": _jpeg,
    "MPO": _jpeg,
    "WEBP": _webp,
}
