"""Zips: what is refused, with a sentence each, and what is handled."""

import io
import stat
import struct
import zipfile

import pytest
from django.utils import translation

from builds.sounds.audit import archives
from builds.sounds.audit.archives import ArchiveRefused, members, unpack
from builds.sounds.audit_words.archives import WORDS, said
from tests.sounds.making import wave, zipped


def named(name: str, mode: int = 0o644) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        info = zipfile.ZipInfo("x" * len(name))
        info.external_attr = mode << 16
        archive.writestr(info, b"sound")
    # As a writer that means harm does it: the name is put in afterwards.
    return out.getvalue().replace(b"x" * len(name), name.encode())


def locked() -> bytes:
    content = bytearray(zipped({"hum.wav": b"sound"}))
    content[6] |= 1
    content[content.rfind(b"PK\x01\x02") + 8] |= 1
    return bytes(content)


def packed(method: int) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", method) as archive:
        archive.writestr("hum.wav", b"sound")
    return out.getvalue()


def claims(size: int) -> bytes:
    """A zip whose list says that a file unpacks to so many bytes."""
    content = bytearray(zipped({"hum.wav": b"sound"}))
    struct.pack_into("<I", content, content.rfind(b"PK\x01\x02") + 24, size)
    return bytes(content)


REFUSED = {
    "no zip": (b"RIFF", "no-zip"),
    "empty": (b"", "no-zip"),
    "cut": (zipped({"hum.wav": b"x" * 999})[:60], "broken"),
    "up and out": (named("../../etc/hum.wav"), "path"),
    "absolute": (named("/etc/hum.wav"), "path"),
    "drive": (named("C:hum.wav"), "path"),
    "backslash": (named("..\\hum.wav"), "path"),
    "here": (named("./hum.wav"), "path"),
    "deep": (zipped({"/".join("abcdefghij") + ".wav": b"x"}), "path"),
    "nul": (named("hum.wav\0.txt"), "name"),
    "newline": (named("hum\n.wav"), "name"),
    "colon": (named("hum:x.wav"), "name"),
    "link": (named("hum.wav", stat.S_IFLNK | 0o777), "link"),
    "long": (zipped({"h" * 250: b"x"}), "long-path"),
    "twins": (zipped({"Hum.wav": b"x", "hum.WAV": b"x"}), "twins"),
    "locked": (locked(), "locked"),
    "bzip2": (packed(zipfile.ZIP_BZIP2), "method"),
    "lzma": (packed(zipfile.ZIP_LZMA), "method"),
    "large file": (claims(4_000_000_000), "large-file"),
    "no files": (zipped({"folder/": b""}), "no-files"),
    "only litter": (zipped({"__MACOSX/._hum.wav": b"x", ".DS_Store": b"x"}), "no-files"),
    "many": (zipped({f"{number}.wav": b"x" for number in range(10_000)}), "many-files"),
}


@pytest.mark.parametrize("case", REFUSED, ids=str)
def test_archive_is_refused_in_a_sentence(case: str) -> None:
    content, code = REFUSED[case]
    with pytest.raises(ArchiveRefused) as error:
        members(io.BytesIO(content))
    assert error.value.code == code
    with translation.override("en-gb"):
        assert said(error.value).endswith(".")


def test_bomb_is_refused_before_it_is_unpacked(monkeypatch: pytest.MonkeyPatch) -> None:
    content = zipped({f"{number}.wav": bytes(1_000_000) for number in range(11)})
    assert len(content) < 20_000
    monkeypatch.setattr(archives, "MOST_BYTES", 10_000_000)
    with pytest.raises(ArchiveRefused) as error:
        members(io.BytesIO(content))
    assert error.value.code == "bomb"


def test_file_that_lies_about_its_length_stops_at_what_it_says() -> None:
    content = claims(2)
    (member,) = members(io.BytesIO(content))
    out = io.BytesIO()
    with pytest.raises(ArchiveRefused):
        unpack(io.BytesIO(content), member, out)
    assert len(out.getvalue()) <= 2


def test_list_of_millions_is_refused_unread(monkeypatch: pytest.MonkeyPatch) -> None:
    content = zipped({f"{number}.wav": b"x" for number in range(50)})
    monkeypatch.setattr(archives, "MOST_OF_LIST", 1000)
    monkeypatch.setattr(zipfile, "ZipFile", None)
    with pytest.raises(ArchiveRefused) as error:
        members(io.BytesIO(content))
    assert error.value.code == "many-files"


def test_archive_in_an_archive_is_a_file_like_others() -> None:
    (member,) = members(io.BytesIO(zipped({"more.zip": zipped({"hum.wav": b"x"})})))
    assert member.path == "more.zip"


def test_what_systems_leave_is_left_out() -> None:
    content = zipped({"a/hum.wav": wave(), "__MACOSX/a/._hum.wav": b"x", "a/Thumbs.db": b"x"})
    assert [member.path for member in members(io.BytesIO(content))] == ["a/hum.wav"]


def test_file_comes_out_as_it_went_in() -> None:
    content = zipped({"one.wav": b"1" * 9, "two.wav": wave()})
    out = io.BytesIO()
    unpack(io.BytesIO(content), members(io.BytesIO(content))[1], out)
    assert out.getvalue() == wave()


def test_every_refusal_has_its_sentence() -> None:
    codes = {code for _content, code in REFUSED.values()}
    assert codes | {"bomb", "split"} == set(WORDS)
