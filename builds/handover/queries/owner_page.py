"""A hilt as its owner sees it after dispatch: how it works, comes apart, is looked after."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from builds.fitting.queries.listed import listed
from builds.handover.booklet_words import care
from builds.handover.booklet_words.contents import Contents
from builds.handover.models import Warranty
from builds.handover.queries.booklet import beings, contents
from builds.handover.queries.gestures import is_tried, standing_gestures
from builds.handover.queries.warranty import warranties
from builds.hilts.models import Hilt
from builds.progress.models import Build
from builds.progress.queries import back_since, builds
from builds.progress.states import FINISHED, Kind
from builds.sounds.queries import slots_of
from shop.clock import day_in
from shop.house.models import House

MOST = 40  # builds of one hilt that are told of


@dataclass(frozen=True)
class Held:
    """Until when something is under warranty: the work, its last day, whether that is past."""

    build: Build
    last_day: date
    is_over: bool


@dataclass(frozen=True)
class Care:
    """How it is looked after, in plain sentences."""

    careful: list[str]
    charging: list[str]
    away: list[str]
    cleaning: list[str]
    before_apart: list[str]
    before_cell: list[str]


@dataclass(frozen=True)
class OwnerPage:
    """What the page of a hilt tells its owner. ``finished``: the newest first; it leads."""

    finished: list[Build]
    told: Contents | None  # how it works, of the newest work that says so
    told_of: Build | None
    care: Care
    held: list[Held]
    warranty_words: str
    parts: dict[int, list[str]]  # build id → what was fitted, for the older ones

    @property
    def lead(self) -> Build | None:
        """The newest finished work."""
        return self.finished[0] if self.finished else None

    @property
    def is_told_of_an_older_one(self) -> bool:
        """Whether the newest work said nothing of how it works, and an older one does."""
        return self.told_of != self.lead

    @property
    def longest_held(self) -> Held | None:
        """What runs longest of what is under warranty today."""
        return max(self.still_held, key=lambda each: each.last_day, default=None)

    @property
    def still_held(self) -> list[Held]:
        """What is under warranty today."""
        return [each for each in self.held if not each.is_over]

    @property
    def sections(self) -> set[str]:
        """Which parts of the page have something to say: for the links at its head."""
        told = self.told
        if told is None:
            return set()
        known = {
            "works": told.beings, "colours": told.slots, "apart": told.apart or told.ours,
            "inside": told.inside or told.blade,
        }  # fmt: skip
        return {name for name, rows in known.items() if rows}


def owner_page(hilt: Hilt, shop: House, now: datetime) -> OwnerPage:
    """The page of a hilt: of finished work for its present owner alone."""
    mine = builds().filter(hilt=hilt, item__order__customer=hilt.customer_id, state__in=FINISHED)
    finished = list(mine.order_by("-state_since", "-pk")[:MOST])
    ids = [build.pk for build in finished]
    told_of = _says_how(finished)
    told = _told(told_of, shop, now) if told_of else None
    promised, today = warranties(ids), day_in(shop.zone, now)
    return OwnerPage(
        finished=finished,
        told=told,
        told_of=told_of,
        care=_care(told),
        held=_held(finished, promised, today),
        warranty_words=_words(promised.get(pk) for pk in ids),
        parts=_fitted(ids),
    )


def _held(finished: Sequence[Build], promised: Mapping[int, Warranty], today: date) -> list[Held]:
    """What was promised; of what was put right under warranty only where it runs longer."""
    days = {promised[each.pk].last_day for each in finished if each.kind != Kind.WARRANTY
            and each.pk in promised}  # fmt: skip
    return [
        Held(each, promised[each.pk].last_day, promised[each.pk].last_day < today)
        for each in finished
        if each.pk in promised
        and (each.kind != Kind.WARRANTY or promised[each.pk].last_day not in days)
    ]


def _says_how(finished: Sequence[Build]) -> Build | None:
    """The newest work that tells gestures or slots; else the newest of all."""
    ids = [build.pk for build in finished]
    gestures, slots = standing_gestures(ids), slots_of(ids)
    says = (each for each in finished if gestures[each.pk] or slots[each.pk])
    return next(says, finished[0] if finished else None)


def _told(build: Build, shop: House, now: datetime) -> Contents:
    """What its booklet says, but of the gestures only those that were tried on the unit."""
    back = back_since([build.pk]).get(build.pk)
    tried = [each for each in standing_gestures([build.pk])[build.pk] if is_tried(each, back)]
    return replace(contents(build, shop, now), beings=beings(tried))


def _care(told: Contents | None) -> Care:
    return Care(
        careful=care.careful(),
        charging=care.charging(told.by_port if told else False),
        away=care.away(),
        cleaning=care.cleaning(),
        before_apart=care.before_apart(),
        before_cell=care.before_cell(),
    )


def _words(promised: Iterable[Warranty | None]) -> str:
    """The words of the newest promise, as it was given."""
    return next((each.words for each in promised if each and each.words), "")


def _fitted(ids: Sequence[int]) -> dict[int, list[str]]:
    return {pk: [p.name for p in parts if p.fitted_at] for pk, parts in listed(ids).items()}
