"""The header of a WAVE file, chunk by chunk, and what is wrong with it.

RIFF and WAVE: Microsoft and IBM, Multimedia Programming Interface 1.0 (1991), and Microsoft,
Multiple Channel Audio Data and WAVE Files; RF64: EBU Tech 3306.
"""

import struct
from collections.abc import Iterator
from dataclasses import dataclass
from typing import IO

PCM, FLOAT, EXTENSIBLE = 1, 3, 0xFFFE
MOST_CHUNKS = 1000
_UNKNOWN = 0xFFFFFFFF  # a size that is said elsewhere, or that nobody went back to write
_PLAIN = {"fmt ", "data", "fact", "ds64"}  # what a plain WAVE file may hold
_FORMAT = struct.Struct("<HHIIHH")
# Of WAVE_FORMAT_EXTENSIBLE the first two bytes of its subformat are the format; these follow.
_SUBFORMAT_TAIL = bytes.fromhex("000000001000800000aa00389b71")


class NotWave(ValueError):
    """No WAVE file that could be read; the code says why."""

    def __init__(self, code: str) -> None:
        super().__init__(code)
        self.code = code


@dataclass(frozen=True)
class Wave:
    """What a header says, and where that is not so."""

    riff_size: int
    tag: int  # as written
    code: int  # the format itself: of an extensible header, what its subformat says
    channels: int
    rate_hz: int
    byte_rate: int
    align: int
    bits: int
    data_at: int
    data_stated: int
    data_bytes: int  # what is there of it, in whole frames
    extra: tuple[str, ...] = ()  # chunks that no plain file has, by name
    faults: tuple[str, ...] = ()

    @property
    def frames(self) -> int:
        """How many moments of sound there are."""
        return self.data_bytes // self.align if self.align else 0

    @property
    def is_plain(self) -> bool:
        """Whether its samples are plain numbers."""
        whole = self.bits in (8, 16, 24, 32) if self.code == PCM else self.bits in (32, 64)
        return self.code in (PCM, FLOAT) and whole and self.align == self.channels * self.bits // 8


@dataclass(frozen=True)
class _Chunk:
    name: str
    at: int  # of its content
    stated: int
    is_cut: bool
    is_unpadded: bool


def read_wave(file: IO[bytes], size: int) -> Wave:
    """The header of a WAVE file of so many bytes.

    :raises NotWave: it is none, or has no format or no data.
    """
    file.seek(0)
    head = file.read(12)
    if len(head) < 12 or head[:4] not in (b"RIFF", b"RF64") or head[8:] != b"WAVE":
        raise NotWave("not-wave")
    riff = int.from_bytes(head[4:8], "little")
    chunks, large = list(_chunks(file, size)), head[:4] == b"RF64"
    named = {chunk.name: chunk for chunk in reversed(chunks)}  # of two of a name the first
    if "fmt " not in named:
        raise NotWave("no-format")
    if "data" not in named:
        raise NotWave("no-data")
    tag, channels, rate, byte_rate, align, bits, code = _format(file, named["fmt "])
    data = named["data"]
    stated = _large_size(file, named) if large else data.stated
    there = max(0, min(size - data.at, stated if stated != _UNKNOWN else size))
    frame = max(1, channels * ((bits + 7) // 8)) if code in (PCM, FLOAT) else max(1, align)
    faults = [*_sizes(riff, size, stated, there, large), *_of_chunks(chunks, data)]
    if code in (PCM, FLOAT):
        faults += _of_format(rate, byte_rate, align, frame)
        faults += ["part-frame"] if there % frame and there == stated else []
    faults += ["extensible"] if tag == EXTENSIBLE else []
    return Wave(
        riff, tag, code, channels, rate, byte_rate, align, bits, data.at, stated,
        there - there % frame, tuple(_extra(chunks)), tuple(faults),
    )  # fmt: skip


def _chunks(file: IO[bytes], size: int) -> Iterator[_Chunk]:
    at = 12
    for _count in range(MOST_CHUNKS):
        file.seek(at)
        head = file.read(8)
        if len(head) < 8 or not any(head):  # the end, or zeros up to it
            return
        stated = int.from_bytes(head[4:], "little")
        end = at + 8 + stated
        unpadded = stated % 2 == 1 and end < size and not _is_padded(file, end)
        name = head[:4].decode("latin-1")
        yield _Chunk(name, at + 8, stated, end > size, unpadded)
        at = end + (stated % 2 if not unpadded else 0)


def _is_padded(file: IO[bytes], end: int) -> bool:
    """A chunk of odd length is followed by a zero; some writers forget it."""
    file.seek(end)
    byte = file.read(1)
    return byte == b"\0" or not byte.isalnum()


def _format(file: IO[bytes], chunk: _Chunk) -> tuple[int, int, int, int, int, int, int]:
    file.seek(chunk.at)
    content = file.read(min(chunk.stated, 40))
    if len(content) < _FORMAT.size:
        raise NotWave("no-format")
    tag, channels, rate, byte_rate, align, bits = _FORMAT.unpack_from(content)
    if not channels or not rate:
        raise NotWave("no-format")
    code = tag
    if tag == EXTENSIBLE:
        known = len(content) == 40 and content[26:] == _SUBFORMAT_TAIL
        code = int.from_bytes(content[24:26], "little") if known else 0
    return tag, channels, rate, byte_rate, align, bits, code


def _large_size(file: IO[bytes], named: dict[str, _Chunk]) -> int:
    """Of RF64 the size of the data stands in a chunk of its own, in 64 bits."""
    if named["data"].stated != _UNKNOWN or "ds64" not in named:
        return named["data"].stated
    file.seek(named["ds64"].at + 8)
    return int.from_bytes(file.read(8), "little")


def _sizes(riff: int, size: int, stated: int, there: int, large: bool) -> list[str]:
    if stated == _UNKNOWN or (stated == 0 and size > 60 and riff in (0, _UNKNOWN)):
        return ["unfinished"]
    if there < stated:
        return ["truncated"]  # the length of the whole is then wrong too: one finding says both
    is_right = large or riff in (size - 8, size - 8 + size % 2)
    return [] if is_right else ["riff-size"]


def _of_chunks(chunks: list[_Chunk], data: _Chunk) -> list[str]:
    faults = []
    if any(chunk.is_unpadded for chunk in chunks):
        faults.append("no-padding")
    if any(chunk.is_cut and chunk is not data for chunk in chunks):
        faults.append("chunk-cut")
    if len(chunks) == MOST_CHUNKS:
        faults.append("many-chunks")
    return faults


def _of_format(rate: int, byte_rate: int, align: int, frame: int) -> list[str]:
    faults = ["align"] if align != frame else []
    return faults + (["byte-rate"] if byte_rate != rate * frame else [])


def _extra(chunks: list[_Chunk]) -> Iterator[str]:
    for name in dict.fromkeys(chunk.name for chunk in chunks):
        if name not in _PLAIN:
            yield "".join(sign if sign.isprintable() else "?" for sign in name).strip() or "?"


def header(rate_hz: int, channels: int, bits: int, data_bytes: int) -> bytes:
    """The plainest header there is: 44 bytes before whole numbers."""
    align = channels * bits // 8
    padded = data_bytes + data_bytes % 2
    return (
        b"RIFF" + struct.pack("<I", 36 + padded) + b"WAVEfmt " + struct.pack("<I", 16)
        + _FORMAT.pack(PCM, channels, rate_hz, rate_hz * align, align, bits)
        + b"data" + struct.pack("<I", data_bytes)
    )  # fmt: skip
