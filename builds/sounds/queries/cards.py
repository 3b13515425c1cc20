"""Reads what belongs on a build's card, what was listed, what is kept of it."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import median
from typing import Any

from django.utils.translation import gettext as _

from builds.progress.models import Build
from builds.sounds.audit.findings import shouting
from builds.sounds.audit.naming import OTHER, NameRule, mended
from builds.sounds.audit_words.findings import SORTS
from builds.sounds.models import CardCheck, CardKept, CardListing, CardProfile, Slot, SoundFile
from builds.sounds.queries.sets import Room, profiles, room_of
from builds.sounds.queries.slots import slots_of
from builds.sounds.queries.zips import Entry
from shop.web.figures import pointed

ANY = NameRule(60, "A-Za-z0-9_-", "wav")  # for folders, where no board's wish is known


def shouting_on(slots: Sequence[Slot]) -> list[str]:
    """Slots that are much louder or softer than the others, sort by sort, in words."""
    names = {slot.place: slot.name for slot in slots}
    return [_shout(names[place], sort, by) for place, sort, by in shouting(_loudness(slots))]


def _shout(name: str, sort: str, by: float) -> str:
    told = {"name": name, "sort": SORTS[sort], "by": pointed(f"{abs(by):.1f}")}
    if by > 0:
        return _("%(name)s: %(sort)s is %(by)s LU louder than in the other slots.") % told
    return _("%(name)s: %(sort)s is %(by)s LU softer than in the other slots.") % told


def _loudness(slots: Sequence[Slot]) -> dict[int, dict[str, float]]:
    """Place → sort → middle loudness, in one query."""
    sets = {slot.sound_set_id for slot in slots}
    heard: dict[Any, dict[str, list[float]]] = defaultdict(lambda: defaultdict(list))
    rows = SoundFile.objects.filter(sound_set__in=sets).exclude(sort=OTHER)
    for set_id, sort, facts in rows.values_list("sound_set", "sort", "facts"):
        if facts.get("lufs") is not None:
            heard[set_id][sort].append(facts["lufs"])
    return {
        slot.place: {sort: median(each) for sort, each in heard[slot.sound_set_id].items()}
        for slot in slots
    }


@dataclass(frozen=True)
class Card:
    """What belongs on a build's card as its slots stand now."""

    slots: list[Slot]
    entries: list[Entry]
    takes: Room
    waiting: list[str]  # sets that are not through, by name
    profile: CardProfile | None
    by_board: list[tuple[str, Room]]  # where several boards may be meant, what each card holds

    @property
    def is_whole(self) -> bool:
        """Whether a list can be made of it."""
        return bool(self.entries) and not self.waiting

    @property
    def bare(self) -> list[Slot]:
        """Slots without a sound set."""
        return [slot for slot in self.slots if slot.sound_set is None]


def card_of(build: Build) -> Card:
    """What belongs on the card: a folder a slot, in it the files of its set."""
    slots = slots_of([build.pk])[build.pk]
    sets = {slot.sound_set_id: slot.sound_set for slot in slots if slot.sound_set}
    files: dict[int, list[SoundFile]] = defaultdict(list)
    for file in SoundFile.objects.filter(sound_set__in=sets).select_related("blob"):
        files[file.sound_set_id].append(file)
    known = profiles()
    profile = _profile_of(slots, known)
    entries = [
        Entry(f"{_folder(slot)}/{file.path}", file.blob)
        for slot in slots
        if slot.sound_set_id
        for file in files[slot.sound_set_id]
        if file.blob
    ]
    paths, sizes = [e.path for e in entries], [e.blob.size for e in entries]
    takes = room_of(paths, sizes, profile)
    by_board = [
        (each.part.name, room_of(paths, sizes, each)) for each in (() if profile else known)
    ]
    waiting = [each.name for each in sets.values() if each and each.state != "looked"]
    return Card(slots, entries, takes, waiting, profile, by_board)


def _folder(slot: Slot) -> str:
    """The folder of a slot: its place and its name, as a card takes it."""
    plain = mended(f"{slot.name}.wav", ANY, ()).removesuffix(".wav")
    return f"{slot.place:02d}_{plain}"


def _profile_of(slots: Iterable[Slot], known: list[CardProfile]) -> CardProfile | None:
    """The wish that the sets were made for; where none was, the only wish there is."""
    made_for = {slot.sound_set.made_for_id for slot in slots if slot.sound_set}
    meant = [each for each in known if each.part_id in made_for] or known
    return meant[0] if len(meant) == 1 else None


def listings_of(build: Build) -> list[CardListing]:
    """Lists that were made of a card, the newest first."""
    found = CardListing.objects.filter(build=build).select_related("made_by")
    return list(found.order_by("-made_at", "-pk")[:10])


def checks_of(listing: CardListing | None) -> list[CardCheck]:
    """Looks at a card against a list, the newest first."""
    if listing is None:
        return []
    found = CardCheck.objects.filter(listing=listing).select_related("by")
    return list(found.order_by("-at", "-pk")[:5])


def kept_of(build: Build) -> list[CardKept]:
    """What is kept so that a card can be made again."""
    found = CardKept.objects.filter(build=build, ended_at=None).select_related("blob", "by")
    return list(found.order_by("kind", "-at", "-pk"))


def differs(listing: CardListing, card: Card) -> bool:
    """Whether the card has other files by now than its newest list says."""
    now = sorted([each.path, each.blob.size, each.blob.sha256] for each in card.entries)
    return now != sorted(listing.entries)


def held_whole(build: Build) -> CardCheck | None:
    """The newest look at a card, where it was as its list and the list is still the newest."""
    newest = next(iter(listings_of(build)), None)
    look = next(iter(checks_of(newest)), None)
    if newest is None or look is None or look.missing or look.changed or look.extra:
        return None
    return None if differs(newest, card_of(build)) else look


def cards_held(build_ids: Iterable[int]) -> dict[int, bool]:
    """Build id → whether a card was found to hold all of its newest list; for those with a list."""
    newest: dict[int, int] = {}
    lists = CardListing.objects.filter(build__in=list(build_ids)).order_by("made_at", "pk")
    for pk, build_id in lists.values_list("pk", "build"):
        newest[build_id] = pk
    looks = CardCheck.objects.filter(listing__in=newest.values()).order_by("at", "pk")
    held = {look.listing_id: not look.missing and not look.changed for look in looks}
    return {build_id: held.get(pk, False) for build_id, pk in newest.items()}
