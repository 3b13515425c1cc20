"""Reads sound sets: which there are, which may be used for a build, what is found of one."""

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from django.db.models import Count, Q, QuerySet

from builds.progress.models import Build
from builds.progress.states import STAGES
from builds.sounds.audit.findings import (
    Finding,
    Heard,
    Level,
    Wish,
    against,
    among_its_sort,
    loudness_by_sort,
)
from builds.sounds.audit.naming import NameRule, in_use
from builds.sounds.audit_words import findings as words
from builds.sounds.models import CardProfile, Slot, SoundFile, SoundSet
from builds.sounds.states import Licence, SetState
from shop.people.models import Customer
from shop.stores.kinds import PartKind
from shop.stores.models import Part
from shop.web.prefix import begins

KIB, MIB = 1024, 1024 * 1024
SHOWN = 12  # of the files with one finding so many are named at once


def sound_sets() -> QuerySet[SoundSet]:
    """Every set, with whose it is and what it was made from."""
    return SoundSet.objects.select_related("customer", "made_from", "made_for", "added_by")


def sets_named(text: str) -> QuerySet[SoundSet]:
    """Sets whose name begins so; "font" and "sound set" mean all of them."""
    kept = sound_sets().filter(ended_at=None)
    folded = text.strip().casefold()
    if folded in {"font", "fonts", "sound font", "sound fonts", "sound set", "sound sets"}:
        return kept.order_by("-added_at", "-pk")
    return kept.filter(begins("name_folded", text)).order_by("name_folded", "pk")


def allowed_for(customer_id: int) -> QuerySet[SoundSet]:
    """Sets that may be on a card of this customer: never what another one bought."""
    usable = ~Q(licence=Licence.ONE_BUYER) | Q(customer=customer_id)
    kept = sound_sets().filter(usable, ended_at=None).exclude(state=SetState.FAILED)
    return kept.order_by("name_folded", "pk")


def buyers(also: Iterable[int] = ()) -> QuerySet[Customer]:
    """Customers that a set may belong to: those with a build here, and some more."""
    here = Build.objects.filter(state__in=STAGES).values("item__order__customer")
    return Customer.objects.filter(Q(pk__in=here) | Q(pk__in=list(also))).order_by(
        "called_folded", "pk"
    )


def wish_of(profile: CardProfile) -> Wish:
    """What a board wants, as the sums take it."""
    names = NameRule(profile.longest_name, profile.letters, profile.ending)
    return Wish(profile.rate_hz, profile.bits, profile.channels, names)


def profiles() -> list[CardProfile]:
    """The wishes that the shop wrote down, by the name of their board."""
    return list(CardProfile.objects.select_related("part").order_by("part__name", "pk"))


def boards() -> QuerySet[Part]:
    """Boards in stores, with what is known of their wish."""
    found = Part.objects.filter(kind=PartKind.BOARD, retired=False).select_related("card_profile")
    return found.order_by("name", "pk")


@dataclass(frozen=True)
class Named:
    """A file in a list of those with one finding."""

    path: str
    sentence: str


@dataclass
class Group:
    """One finding and the files that have it."""

    code: str
    level: Level
    files: list[Named] = field(default_factory=list)

    @property
    def called(self) -> str:
        """What it is called."""
        return words.called(self.code)

    @property
    def level_word(self) -> str:
        """How much it matters."""
        return words.level(Finding(self.code, self.level))

    @property
    def shared(self) -> str:
        """The sentence, where it is the same of each file."""
        said = {file.sentence for file in self.files}
        return said.pop() if len(said) == 1 else ""

    @property
    def first(self) -> list[Named]:
        """Those named at once."""
        return self.files[:SHOWN]

    @property
    def rest(self) -> list[Named]:
        """Those behind a fold."""
        return self.files[SHOWN:]


@dataclass(frozen=True)
class Room:
    """What files take on a card."""

    files: int
    used: int
    free: int | None  # None where nobody wrote the card's size down


@dataclass(frozen=True)
class SortRow:
    """A sort of a set, with how loud it is in the middle."""

    called: str
    files: int
    middle: str


@dataclass(frozen=True)
class Audit:
    """What is found of a set against a board's wish."""

    groups: list[Group]
    sorts: list[SortRow]
    clean: int  # files with no finding at all

    @property
    def stops(self) -> int:
        """How many files a board will not play."""
        return self._files(Level.STOPS)

    @property
    def mends(self) -> int:
        """How many files have something to mend."""
        return self._files(Level.MEND)

    def _files(self, level: Level) -> int:
        groups = [group for group in self.groups if group.level == level]
        return len({file.path for group in groups for file in group.files})


def audit_of(files: list[SoundFile], wish: Wish | None) -> Audit:
    """What is found of the files of a set."""
    looked = [file for file in files if file.looked_at]
    heard = [Heard(file.path, file.sort, file.facts) for file in looked]
    apart = among_its_sort(heard)
    groups: dict[str, Group] = {}
    clean = 0
    for file in looked:
        found = findings_of(file, wish) + ([apart[file.path]] if file.path in apart else [])
        clean += not found
        for each in found:
            group = groups.setdefault(each.code, Group(each.code, each.level))
            group.files.append(Named(file.path, words.sentence(each)))
    ordered = sorted(groups.values(), key=lambda group: (group.level, -len(group.files)))
    return Audit(ordered, _sorts(looked, heard), clean)


def findings_of(file: SoundFile, wish: Wish | None) -> list[Finding]:
    """What was found of one file as it was looked at, and what a board would not like."""
    found = [Finding(code, Level(level), figures) for code, level, figures in file.findings]
    return found + (against(file.path, file.facts, wish) if wish else [])


def _sorts(files: list[SoundFile], heard: list[Heard]) -> list[SortRow]:
    middles = loudness_by_sort(heard)
    counts = Counter(file.sort for file in files if file.facts.get("seconds"))
    return [
        SortRow(
            str(words.SORTS[code]),
            counts[code],
            words.signed(middles[code]) if code in middles else "",
        )
        for code in words.SORTS
        if counts[code]
    ]


def room_of(paths: list[str], sizes: list[int], profile: CardProfile | None) -> Room:
    """What files take on a board's card, by whole clusters."""
    cluster = (profile.cluster_kib if profile else 32) * KIB
    used = in_use(paths, cluster, sizes)
    card = profile.card_mib if profile else None
    return Room(len(paths), used, card * MIB - used if card else None)


def usage(set_ids: Iterable[int]) -> dict[int, list[Slot]]:
    """Set id → the open builds on whose card it is, in one query."""
    found: dict[int, list[Slot]] = defaultdict(list)
    slots = Slot.objects.filter(
        sound_set__in=list(set_ids), ended_at=None, build__state__in=STAGES
    ).select_related("build__hilt")
    for slot in slots.order_by("build__number", "place"):
        if slot.sound_set_id:
            found[slot.sound_set_id].append(slot)
    return found


def with_counts(sets: QuerySet[SoundSet]) -> QuerySet[SoundSet]:
    """The same, with how many files each has."""
    return sets.annotate(file_count=Count("files"))
