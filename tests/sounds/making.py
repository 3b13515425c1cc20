"""Makes sounds, sets and boards for tests: drawn by numpy, small."""

import io
import zipfile
from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import uuid4

import numpy as np
from django.core.files.uploadedfile import SimpleUploadedFile
from numpy.typing import NDArray

from builds.sounds.actions.looking import look_at_next
from builds.sounds.actions.sets import Came, SetFacts, bring
from builds.sounds.actions.wishes import write_wish
from builds.sounds.audit.wave import header
from builds.sounds.models import CardProfile, SoundSet
from shop.models import Customer, User
from shop.stores.models import Part
from tests.makers import make_part

WISH: dict[str, Any] = {
    "rate_hz": 44_100, "bits": 16, "channels": 1, "longest_name": 24, "letters": "A-Za-z0-9_-",
    "ending": "wav", "card_mib": 64, "cluster_kib": 32,
}  # fmt: skip


def sine(
    decibels: float = -20.0, seconds: float = 1.0, rate: int = 44_100, hertz: float = 220.0
) -> NDArray[np.float64]:
    """A plain tone."""
    moments = np.arange(int(seconds * rate)) / rate
    return 10 ** (decibels / 20) * np.sin(2 * np.pi * hertz * moments)


def wave(
    samples: NDArray[np.float64] | None = None, rate: int = 44_100, channels: int = 1
) -> bytes:
    """A plain WAVE file of 16 bits."""
    heard = sine(rate=rate) if samples is None else samples
    numbers = np.clip(np.rint(heard * 32_768), -32_768, 32_767).astype("<i2")
    content = np.repeat(numbers[:, None], channels, axis=1).tobytes()
    return header(rate, channels, 16, len(content)) + content


def with_chunk(name: bytes, content: bytes, file: bytes) -> bytes:
    """The same file with a part before its sound."""
    chunk = name + len(content).to_bytes(4, "little") + content + b"\0" * (len(content) % 2)
    whole = file[:12] + chunk + file[12:]
    return whole[:4] + (len(whole) - 8).to_bytes(4, "little") + whole[8:]


def as_float(samples: NDArray[np.float64], rate: int = 44_100) -> bytes:
    """A WAVE file of 32-bit floating point."""
    content = samples.astype("<f4").tobytes()
    head = bytearray(header(rate, 1, 32, len(content)))
    head[20:22] = (3).to_bytes(2, "little")
    return bytes(head) + content


def zipped(files: Mapping[str, bytes]) -> bytes:
    """A zip of files."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for path, content in files.items():
            info = zipfile.ZipInfo(path)  # of no day: the same files are the same bytes
            info.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(info, content)
    return out.getvalue()


def came(path: str, content: bytes) -> Came:
    """A file as a form hands it on."""
    return Came(path, SimpleUploadedFile(path.rpartition("/")[2], content))


def make_set(
    files: Mapping[str, bytes],
    by: User | None,
    now: datetime,
    *,
    name: str = "Tide",
    licence: str = "anyone",
    customer: Customer | None = None,
) -> SoundSet:
    """A set that came as a zip and is looked at."""
    facts = SetFacts(name, licence, customer)
    archive = [came(f"{name}.zip", zipped(files))]
    return looked(bring(archive, facts, token=uuid4(), by=by, now=now), now)


def looked(held: SoundSet, now: datetime) -> SoundSet:
    """The same, after the worker was through."""
    while look_at_next(held.pk, now):
        pass
    held.refresh_from_db()
    return held


def make_board(by: User, now: datetime, **wish: Any) -> Part:
    """A board whose wish is written down."""
    board = make_part(by, now, 1, kind="board")
    write_wish(board.pk, WISH | wish, seen="", by=by, now=now)
    return board


def profile_of(board: Part) -> CardProfile:
    """What it wants."""
    return CardProfile.objects.get(part=board)
