"""Two hundred damaged WAVE files and zips, drawn by seeds: no crash, no hang, a sentence each."""

import io
import random
from pathlib import Path

import pytest
import soundfile
from django.utils import translation

from builds.sounds.audit.archives import ArchiveRefused, members, unpack
from builds.sounds.audit.convert import convert
from builds.sounds.audit.findings import of_file
from builds.sounds.audit.heard import listen
from builds.sounds.audit.samples import NotRead, opened
from builds.sounds.audit.wave import NotWave, Wave, read_wave
from builds.sounds.audit_words import archives, findings
from tests.sounds.making import as_float, sine, wave, with_chunk, zipped

TONE = sine(-6.0, seconds=0.2)
WAVES = [
    wave(TONE),
    wave(TONE, channels=2),
    as_float(TONE),
    with_chunk(b"LIST", b"INFOICMT\x04\0\0\0hey\0", wave(TONE)),
]
ZIPS = [
    zipped({"hum.wav": WAVES[0], "swing/swing1.wav": WAVES[2]}),
    zipped({f"{n}.wav": b"RIFF" * 40 for n in range(30)}),
]
RF64 = b"RF64" + wave(TONE)[4:]


def damaged(content: bytes, seed: int) -> bytes:
    """The same with bits turned, pieces cut out, doubled, or written over by extreme numbers."""
    drawn, made = random.Random(seed), bytearray(content)  # noqa: S311 – seeded cases
    for _each in range(drawn.randint(1, 6)):
        reach = min(len(made), drawn.choice((60, 60, len(made))))
        at = drawn.randrange(reach) if reach else 0
        match drawn.randrange(5):
            case 0:
                made[at : at + 1] = bytes([drawn.randrange(256)])
            case 1:
                made[at : at + 4] = drawn.choice((b"\xff\xff\xff\xff", b"\0\0\0\0", b"\0\0\0\x80"))
            case 2:
                del made[at : at + drawn.randint(1, 200)]
            case 3:
                made[at:at] = made[at : at + drawn.randint(1, 200)]
            case _:
                del made[max(at, 8) :]
    return bytes(made)


def header_of(content: bytes) -> Wave | None:
    try:
        return read_wave(io.BytesIO(content), len(content))
    except NotWave:
        return None


def others(tmp_path: Path) -> list[bytes]:
    """Sounds that the library reads, as WAVE of a packed kind is."""
    made = []
    for kind, subtype in (("FLAC", "PCM_16"), ("OGG", "VORBIS"), ("MP3", "MPEG_LAYER_III"),
                          ("WAV", "IMA_ADPCM"), ("WAV", "ULAW"), ("AIFF", "PCM_16")):  # fmt: skip
        path = tmp_path / kind
        soundfile.write(path, TONE, 44_100, subtype, format=kind)
        made.append(path.read_bytes())
    return made


@pytest.mark.parametrize("seed", range(140))
def test_damaged_sound_is_told_of_in_sentences(seed: int, tmp_path: Path) -> None:
    kinds = [*WAVES, *WAVES, RF64, *others(tmp_path)]
    content = damaged(kinds[seed % len(kinds)], seed)
    path = tmp_path / "hum.wav"
    path.write_bytes(content)
    facts = listen(path)
    with translation.override("en-gb"):
        for each in of_file("hum.wav", facts):
            assert findings.sentence(each).endswith(".")
    out = io.BytesIO()
    why = ""
    try:
        convert(opened(path, header_of(content)), 22_050, 16, 1, out)
    except NotRead as error:
        why = error.code
    assert why in findings.WORDS or header_of(out.getvalue()) is not None


@pytest.mark.parametrize("seed", range(60))
def test_damaged_zip_is_refused_in_a_sentence_or_unpacked_within_its_bounds(seed: int) -> None:
    content = io.BytesIO(damaged(ZIPS[seed % len(ZIPS)], 1000 + seed))
    try:
        for member in members(content):
            out = io.BytesIO()
            unpack(content, member, out)
            assert len(out.getvalue()) <= member.size
    except ArchiveRefused as error:
        known = error.code in findings.WORDS
        with translation.override("en-gb"):
            said = findings.called(error.code) if known else archives.said(error)
        assert said
