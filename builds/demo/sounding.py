"""The demo's sounds, drawn by sums: sets for anyone, one with faults, boards' wishes, cards."""

import io
from datetime import datetime, timedelta

import numpy as np
from django.core.files.uploadedfile import SimpleUploadedFile
from numpy.typing import NDArray

from builds.demo.days import Days, token
from builds.demo.house import Crew
from builds.progress.models import Build
from builds.progress.states import State
from builds.sounds.actions.cards import check_card, keep_of_card, list_card
from builds.sounds.actions.looking import look_at_next
from builds.sounds.actions.sets import SetFacts, keep_set
from builds.sounds.actions.wishes import write_wish
from builds.sounds.audit.archives import Member
from builds.sounds.audit.wave import header
from builds.sounds.models import CardListing, SoundSet
from builds.sounds.queries.cards import card_of
from builds.sounds.states import Licence
from shop.files.actions import keep_file
from shop.files.models import Blob
from shop.people.models import Customer, User
from shop.stores.models import Part

Sound = NDArray[np.float64]
Sounds = dict[str, dict[str, Blob]]  # set → path → what is kept
RATE = 22_050
SHOWN = "Heron two-piece"  # whose customer sent a set of their own
HELD = "Ninth Lantern"  # on test, with its card in it as it is listed
_MINUTE = timedelta(minutes=1)
WISHES = {
    "Sound board 18 × 3": {"rate_hz": RATE, "card_mib": 1024},
    "Sound board 22.5 × 3.2": {"rate_hz": 44_100, "card_mib": 4096},
}
_WISH = {
    "bits": 16, "channels": 1, "longest_name": 32, "letters": "A-Za-z0-9_-", "ending": "wav",
    "cluster_kib": 32,
}  # fmt: skip


def kept(now: datetime) -> Sounds:
    """Draw the sounds and keep their bytes: before the transaction, as the pictures."""
    drawn = {"Foundry": _set(82.0), "Low Tide": _set(110.0), "Night Ferry": _faulty()}
    return {name: {path: _keep(each, now) for path, each in s.items()} for name, s in drawn.items()}


def _keep(content: bytes, now: datetime) -> Blob:
    upload = SimpleUploadedFile("sound.wav", content)
    return keep_file(upload, "application/octet-stream", now, at_most=len(content))


def shelve(sounds: Sounds, by: User, now: datetime) -> None:
    """Write down what two boards want, and put the sets for anyone on the shelf."""
    for name, wish in WISHES.items():
        board = Part.objects.get(name=name)
        write_wish(board.pk, {**_WISH, **wish}, seen="", by=by, now=now)
    _shelve(sounds, SetFacts("Foundry", Licence.OWN, None, "recorded in the workshop"), by, now)
    facts = SetFacts("Low Tide", Licence.ANYONE, None, "bought with the right to fit it for anyone")
    _shelve(sounds, facts, by, now + _MINUTE)


def show(sounds: Sounds, made: dict[str, Build], crew: Crew, days: Days) -> None:
    """Bring one customer's own set, with its faults, and list the cards of what is on test."""
    moment = days.back(2, 15)
    facts = SetFacts("Night Ferry", Licence.ONE_BUYER, _customer(made[SHOWN]), "sent by mail")
    _shelve(sounds, facts, crew.jory, moment)
    for name, build in made.items():
        if build.state == State.TEST:
            moment += 4 * _MINUTE
            (card if name == HELD else _listed)(build, crew.jory, moment)


def _customer(build: Build) -> Customer:
    return build.item.order.customer


def _shelve(sounds: Sounds, facts: SetFacts, by: User, now: datetime) -> SoundSet:
    blobs = sounds[facts.name]
    held = [Member(path, blob.size, 0) for path, blob in blobs.items()]
    mark = token("sounds", facts.name)
    made = keep_set(facts, held, blobs, token=mark, by=by, now=now)
    while look_at_next(made.pk, now + _MINUTE):
        pass
    return made


def card(build: Build, by: User, now: datetime) -> None:
    """The list of a build's card, and the card held against it: every file as it is listed."""
    listing = _listed(build, by, now)
    if listing:
        text = "\n".join(f"{digest}  {path}" for path, _size, digest in listing.entries)
        mark = token("card held", build.number)
        check_card(listing.pk, text, token=mark, by=by, now=now + 5 * _MINUTE)


def _listed(build: Build, by: User, now: datetime) -> CardListing | None:
    if not card_of(build).is_whole:
        return None
    made = list_card(build.pk, token=token("card", build.number), by=by, now=now + _MINUTE)
    keep_of_card(
        build, None, {"kind": "firmware", "version": "4.2, as it came"},
        token=token("firmware", build.number), by=by, now=now + 2 * _MINUTE,
    )  # fmt: skip
    return made


def _set(hertz: float) -> dict[str, bytes]:
    swings = {f"swing/swing{n}.wav": _wave(_swing(hertz * (1 + n / 8))) for n in (1, 2, 3)}
    clashes = {f"clash/clash{n}.wav": _wave(_clash(n)) for n in (1, 2)}
    rise = np.linspace(0.0, 1.0, RATE) ** 2
    return {
        "hum.wav": _wave(0.16 * _hum(hertz, 2.0)),
        **swings,
        **clashes,
        "on/ignition.wav": _wave(0.3 * _hum(hertz, 1.0) * rise),
        "off/retraction.wav": _wave(0.3 * _hum(hertz, 1.0) * rise[::-1]),
    }


def _faulty() -> dict[str, bytes]:
    """What customers send: a double ending, floating point, clipping, a tag, a sound cut off."""
    tag = b"LIST\x12\0\0\0INFOIART\x06\0\0\0ferry\0"
    plain = _wave(_swing(90.0))
    return {
        "hum.wav.wav": _wave(0.16 * _hum(70.0, 2.0)),
        "swing1.wav": _sized(plain[:12] + tag + plain[12:]),
        "swing2.wav": _floating(_swing(96.0)),
        "swing3.wav": plain[: len(plain) // 2],
        "clash1.wav": _wave(np.clip(4.0 * _clash(3), -1.0, 1.0)),
        "read me.txt": b"Thank you for doing this! The hum is my favourite.\n",
    }


def _sized(file: bytes) -> bytes:
    return file[:4] + (len(file) - 8).to_bytes(4, "little") + file[8:]


def _hum(hertz: float, seconds: float) -> Sound:
    turns = 2 * np.pi * hertz * np.arange(int(RATE * seconds)) / RATE
    parts = [np.sin(turns * n) / n for n in (1, 2, 3, 5)]
    return np.asarray(sum(parts) * (1 + 0.2 * np.sin(turns / 29)) / 2, dtype=np.float64)


def _swing(hertz: float) -> Sound:
    bell = np.sin(np.pi * np.linspace(0.0, 1.0, RATE // 2)) ** 2
    return np.asarray(0.5 * _hum(hertz * 1.5, 0.5) * bell, dtype=np.float64)


def _clash(seed: int) -> Sound:
    dying = np.exp(-9 * np.linspace(0.0, 1.0, RATE // 2))
    noise = np.random.default_rng(seed).uniform(-1, 1, RATE // 2)
    return np.asarray(0.6 * noise * dying + 0.2 * _hum(140.0, 0.5) * dying, dtype=np.float64)


def _wave(samples: Sound) -> bytes:
    content = np.rint(samples * 32_767).astype("<i2").tobytes()
    return header(RATE, 1, 16, len(content)) + content


def _floating(samples: Sound) -> bytes:
    content = samples.astype("<f4").tobytes()
    head = io.BytesIO(header(RATE, 1, 32, len(content)))
    head.seek(20)
    head.write((3).to_bytes(2, "little"))  # the same numbers, said to be floating point
    return head.getvalue() + content
