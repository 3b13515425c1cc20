"""Headers of WAVE files: what they say, and where that is not so."""

import io
import struct

import pytest

from builds.sounds.audit.wave import NotWave, Wave, header, read_wave
from tests.sounds.making import as_float, sine, wave, with_chunk

PLAIN = wave(sine(seconds=0.1))
SUBFORMAT = b"\x01\x00" + bytes.fromhex("000000001000800000aa00389b71")


def read(content: bytes) -> Wave:
    return read_wave(io.BytesIO(content), len(content))


def extensible(tag: bytes = SUBFORMAT) -> bytes:
    content = PLAIN[44:]
    fmt = struct.pack("<HHIIHHHHI", 0xFFFE, 1, 44_100, 88_200, 2, 16, 22, 16, 4) + tag
    body = b"WAVEfmt " + struct.pack("<I", 40) + fmt
    body += b"data" + struct.pack("<I", len(content)) + content
    return b"RIFF" + struct.pack("<I", len(body)) + body


def test_plain_file_has_no_fault() -> None:
    found = read(PLAIN)
    assert (found.rate_hz, found.channels, found.bits, found.frames) == (44_100, 1, 16, 4410)
    assert (found.faults, found.extra, found.is_plain) == ((), (), True)


def test_parts_may_stand_before_the_sound() -> None:
    found = read(with_chunk(b"LIST", b"INFOabc", with_chunk(b"bext", b"x" * 602, PLAIN)))
    assert found.frames == 4410
    assert found.extra == ("LIST", "bext")
    assert found.faults == ()


def test_part_of_odd_length_without_its_zero_is_told_and_read_past() -> None:
    odd = PLAIN[:12] + b"LIST\x05\0\0\0INFOx" + PLAIN[12:]
    whole = odd[:4] + (len(odd) - 8).to_bytes(4, "little") + odd[8:]
    found = read(whole)
    assert found.frames == 4410
    assert "no-padding" in found.faults


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (lambda file: file[:-1000], "truncated"),
        (lambda file: file[:4] + b"\x10\0\0\0" + file[8:], "riff-size"),
        (lambda file: file[:28] + struct.pack("<I", 1) + file[32:], "byte-rate"),
        (lambda file: file[:32] + struct.pack("<H", 4) + file[34:], "align"),
        (lambda file: file[:40] + b"\xff\xff\xff\xff" + file[44:], "unfinished"),
        (lambda file: file[:4] + b"\0\0\0\0" + file[8:40] + b"\0\0\0\0" + file[44:], "unfinished"),
        (lambda file: file + b"LIST\xff\xff\0\0INFO", "chunk-cut"),
        (lambda file: file[:40] + struct.pack("<I", 8819) + file[44:-1] + b"\0", "part-frame"),
    ],
)
def test_fault_is_found(change, fault: str) -> None:  # type: ignore[no-untyped-def]
    assert fault in read(change(PLAIN)).faults


def test_extended_header_is_read_and_told() -> None:
    found = read(extensible())
    assert (found.code, found.frames, found.faults) == (1, 4410, ("extensible",))


def test_extended_header_of_an_unknown_kind_is_not_taken_for_numbers() -> None:
    assert not read(extensible(b"\x01\x00" + b"z" * 14)).is_plain


def test_floating_point_is_known() -> None:
    found = read(as_float(sine()))
    assert (found.code, found.bits, found.is_plain) == (3, 32, True)


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "not-wave"),
        (b"RIFF\0\0\0\0WAVX", "not-wave"),
        (b"RIFF\0\0\0\0WAVE", "no-format"),
        (PLAIN[:36], "no-data"),
        (PLAIN[:22] + b"\0\0" + PLAIN[24:], "no-format"),
        (PLAIN[:12] + b"fmt \x04\0\0\0abcd" + PLAIN[36:], "no-format"),
    ],
)
def test_what_is_no_wave_file_says_why(content: bytes, code: str) -> None:
    with pytest.raises(NotWave) as error:
        read(content)
    assert error.value.code == code


def test_huge_files_keep_their_size_elsewhere() -> None:
    content = PLAIN[44:]
    ds64 = struct.pack("<QQQI", len(PLAIN), len(content), 0, 0)
    body = b"WAVEds64" + struct.pack("<I", len(ds64)) + ds64 + PLAIN[12:40] + b"\xff" * 4 + content
    assert read(b"RF64\xff\xff\xff\xff" + body).data_bytes == len(content)


def test_header_written_reads_back() -> None:
    for bits in (8, 16, 24, 32):
        found = read(header(22_050, 2, bits, 48) + bytes(48))
        assert (found.rate_hz, found.channels, found.bits, found.faults) == (22_050, 2, bits, ())
        assert found.frames == 48 * 8 // bits // 2


def test_many_parts_come_to_an_end() -> None:
    assert "many-chunks" in read(PLAIN + b"abcd\0\0\0\0" * 5000).faults
