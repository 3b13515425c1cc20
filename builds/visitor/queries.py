"""Reads what a customer may see of an order: nothing else leaves this room."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import TypeVar

from django.db.models import QuerySet

from builds.dispatch.models import Parcel
from builds.dispatch.queries import day_of, parcel_of
from builds.dispatch.queries.without import cells_to_buy
from builds.handover.models import Booklet, Film, Return
from builds.handover.queries.announced import Announced, announced
from builds.handover.queries.booklets import in_order, published_booklets
from builds.handover.queries.films import Shown, shown_films
from builds.handover.queries.owner_page import OwnerPage, owner_page
from builds.handover.queries.returns import causes_of, instead_of_posting
from builds.hilts.models import Hilt
from builds.hilts.queries.blades import blades_tried_in, told_of
from builds.intake.models import ConditionNote, Match, Photo
from builds.intake.queries import (
    Marked,
    Noted,
    marked,
    numbered,
    shared_photos,
    standing_notes,
)
from builds.progress.linking import is_over
from builds.progress.models import Build, Hold
from builds.progress.queries import builds, open_holds
from builds.progress.states import FINISHED, STAGES, HoldReason, State, Turn
from builds.queue.queries import Due, dues
from builds.queue.queries.behind import shown_odds
from builds.queue.queries.dues import days_for
from builds.queue.queries.ready import ready_since
from builds.queue.queries.serving import Serving, servings
from builds.visitor import words
from shop.clock import day_in
from shop.diary.calendar import Calendar, Closed
from shop.diary.queries import calendar, nobody_here, told_holidays
from shop.house.models import House
from shop.orders.models import Asking, Invoice, Item, ItemKind, Order, Quote
from shop.orders.queries.bill import Bill, bill
from shop.post.models import PrivateLink, Scope
from shop.post.queries import links_to, open_link, url_of

OfBuild = TypeVar("OfBuild", Photo, ConditionNote)
# What a hilt's page shows pictures of: how it was built, not how it came.
_BUILT_IN = (State.INSTALL, State.TEST, State.DISPATCH)
_BEFORE_DISPATCH = {State.BOOKED, State.INTAKE, State.TEARDOWN, State.INSTALL, State.TEST}
_NOT_LOOKED_AT = {State.BOOKED, State.INTAKE}


@dataclass(frozen=True)
class Work:
    """One build as its customer sees it."""

    build: Build
    headline: str
    next_step: str
    day: date | None
    odds_line: str
    day_line: str
    moved_from: date | None
    is_late: bool
    is_ready: bool  # it only waits to be fetched
    parcel: Parcel | None
    leaves: date | None
    is_expected: bool
    kept_away: str  # what is done instead of posting it, where its cell is harmed
    turns: list[tuple[str, str]]
    waits: list[str]
    photos: list[Photo]
    marked: list[Marked]
    notes: list[Noted]
    care_url: str | None = None
    film: Shown | None = None
    is_without_cell: bool = False  # as it was packed
    cells_to_buy: list[str] = field(default_factory=list)
    booklets: list[Booklet] = field(default_factory=list)  # once it left, by size of type
    needed_by: date | None = None  # as long as it is not packed
    is_too_late: bool = False  # kept to the day told, it comes later than it is needed
    blade: str = ""  # what is known of the one that is made, or goes home with the hilt

    @property
    def is_started(self) -> bool:
        """Whether someone is at it."""
        return self.build.started_at is not None


@dataclass(frozen=True)
class OrderPage:
    """An order as its customer sees it."""

    order: Order
    works: list[Work]
    goods: list[Item]
    holidays: list[Closed]
    away: str = ""  # between which days nothing should arrive
    bill: Bill | None = None
    return_number: str = ""  # of what is announced back: it stands on the box

    @property
    def only(self) -> Work | None:
        """The build, where the order holds just one."""
        return self.works[0] if len(self.works) == 1 else None

    @property
    def takes_sounds(self) -> bool:
        """Whether a card of this order is still to be filled."""
        return any(work.build.state in _BEFORE_DISPATCH for work in self.works)

    @property
    def kept_away(self) -> str:
        """What its owner does instead of posting a hilt whose cell is harmed; empty for none."""
        return next((work.kept_away for work in self.works if work.kept_away), "")

    @property
    def is_expected(self) -> bool:
        """Whether a hilt of this order is still to be posted to the shop."""
        return any(work.is_expected for work in self.works)


@dataclass(frozen=True)
class _Known:
    dues: Mapping[int, Due]
    parcels: Mapping[int, Parcel]
    to_buy: Mapping[int, list[str]]  # of builds that are packed without a cell
    leaving: Mapping[int, date]
    holds: Mapping[int, list[Hold]]
    photos: Mapping[int, list[Photo]]
    notes: Mapping[int, list[ConditionNote]]
    here: frozenset[int]
    diary: Calendar
    now: datetime
    ready: frozenset[int]  # these only wait to be fetched
    by_name: bool
    care: Mapping[int, str | None]
    asked: frozenset[int]  # items with a consent that is asked for
    films: Mapping[int, Shown]
    booklets: Mapping[int, list[Booklet]]
    unit: str  # of lengths
    causes: Mapping[int, Return]  # what came back
    odds: Mapping[int, float]  # of the day, where the shop wants its customers to see them
    servings: Mapping[int, Serving]  # of those that are needed by a day


@dataclass(frozen=True)
class Past:
    """One finished work on a hilt."""

    pk: int
    words: str
    when: str
    parts: list[str]  # what was fitted
    film: Shown | None
    photos: list[Photo]


@dataclass(frozen=True)
class HiltPage:
    """A hilt as its owner sees it, long after its orders."""

    hilt: Hilt
    page: OwnerPage
    done: Past | None
    older: list[Past]
    film: Shown | None
    booklets: list[Booklet]  # of the newest work that has one
    coming: Announced | None
    away: str  # between which days nothing should arrive, where it is to come back
    may_come_back: bool
    blades: list[tuple[str, str]]  # name, and what is known of it


def order_by_link(token: str, today: date) -> Order | None:
    """The order whose page a link opens; None for whatever opens nothing."""
    link = open_link(Scope.ORDER, token, today)
    key = _key(link, "order")
    found = Order.objects.select_related("customer").filter(pk=key).first()
    return None if found is None or link is None or is_over(found, link, today) else found


def offer_of(order: Order, revision: int) -> Quote | None:
    """A quote of the order that was sent once; a draft is nobody's to see."""
    sent = Quote.objects.filter(order=order, revision=revision, sent_at__isnull=False)
    return sent.select_related("order__customer").first()


def asking_of(order: Order, asking_id: int) -> Asking | None:
    """A consent that the order's customer was asked for."""
    found = Asking.objects.filter(item__order=order, pk=asking_id)
    return found.select_related("item__order__customer").first()


def hilt_by_link(token: str, today: date) -> Hilt | None:
    """The hilt whose page a link opens; None for whatever opens nothing."""
    key = _key(open_link(Scope.HILT, token, today), "hilt")
    return Hilt.objects.select_related("customer").filter(pk=key).first()


def _key(link: PrivateLink | None, of: str) -> int:
    """The key of the row that a link is about; 0, which no row has, where it is about another."""
    kind, _, key = link.about.partition(":") if link else ("", "", "")
    return int(key) if kind == of and key.isdecimal() else 0


def hilt_page(hilt: Hilt, shop: House, now: datetime) -> HiltPage:
    """All that a hilt's page shows: the newest finished work leads, the older lies folded."""
    shown = owner_page(hilt, shop, now)
    finished = shown.finished
    ids = [build.pk for build in finished]
    photos = _by_build(seen_photos(ids).filter(stage__in=_BUILT_IN))
    films = shown_films(finished)
    coming = announced(hilt, shop)
    here = Build.objects.filter(hilt=hilt, state__in=STAGES).exists()
    past = [_past(build, shown, photos, films, shop) for build in finished]
    # A repair may have no film of its own: the newest one leads.
    filmed = next((build.pk for build in finished if build.pk in films), 0)
    return HiltPage(
        hilt=hilt,
        page=shown,
        done=past[0] if past else None,
        older=[replace(each, film=None) if each.pk == filmed else each for each in past[1:]],
        film=films.get(filmed),
        booklets=_newest_booklets(ids),
        coming=coming,
        away=_away(shop, now) if coming and coming.is_posted else "",
        blades=[(one.name, told_of(one, shop.length_unit)) for one in blades_tried_in(hilt)],
        may_come_back=bool(finished) and not here and coming is None,
    )


def _away(shop: House, now: datetime) -> str:
    diary = calendar(shop)
    return nobody_here(diary, diary.today(now))


def _past(
    build: Build,
    shown: OwnerPage,
    photos: Mapping[int, list[Photo]],
    films: Mapping[int, Shown],
    shop: House,
) -> Past:
    return Past(
        pk=build.pk,
        words=words.done(build),
        when=words.went_on(build, day_in(shop.zone, build.state_since)),
        parts=shown.parts.get(build.pk, []),
        film=films.get(build.pk),
        photos=photos.get(build.pk, []),
    )


def _newest_booklets(finished: list[int]) -> list[Booklet]:
    """The booklets, by size of type, of the newest work that has one published."""
    found = published_booklets(finished)
    return next((in_order(found[pk]) for pk in finished if pk in found), [])


def booklet_of_hilt(hilt: Hilt, size: str) -> Booklet | None:
    """The booklet that a hilt's page shows, in a size of type; None for any other."""
    finished = _finished(hilt).order_by("-state_since", "-pk").values_list("pk", flat=True)
    return _of_size(_newest_booklets(list(finished)), size)


def booklet_of_order(order: Order, number: int, size: str) -> Booklet | None:
    """A published booklet of a build of the order that has left; None for any other."""
    left = Build.objects.filter(item__order=order, number=number, state__in=FINISHED)
    return _of_size(_newest_booklets(list(left.values_list("pk", flat=True))), size)


def _of_size(booklets: Iterable[Booklet], size: str) -> Booklet | None:
    return next((each for each in booklets if each.type_size == size), None)


def _finished(hilt: Hilt) -> QuerySet[Build]:
    """Finished work on a hilt, by order of whose it is now: another's is nobody's to see."""
    mine = Build.objects.filter(hilt=hilt, item__order__customer=hilt.customer_id)
    return mine.filter(state__in=FINISHED)


def newest_finished(hilt: Hilt) -> Build | None:
    """The work that the owner of a hilt has in hand."""
    return _finished(hilt).order_by("-state_since", "-pk").first()


def photo_of_hilt(hilt: Hilt, photo_id: int) -> Photo | None:
    """A photo that is shared and shows how the hilt was built, by work that is finished."""
    found = Photo.objects.filter(pk=photo_id, shared=True, stage__in=_BUILT_IN)
    return found.filter(build__in=_finished(hilt)).select_related("blob").first()


def order_page(order: Order, shop: House, now: datetime) -> OrderPage:
    """All that a customer's page shows, in a constant number of queries."""
    diary = calendar(shop)
    works = list(builds().filter(item__order=order).order_by("number"))
    care = _care(works, shop)
    known = _known(works, diary, now, care, shop.length_unit)
    goods = Item.objects.filter(order=order, kind=ItemKind.GOODS).order_by("pk")
    return OrderPage(
        order=order,
        works=[_work(build, known) for build in works],
        goods=list(goods),
        holidays=told_holidays(diary, day_in(diary.zone, now)),
        away=nobody_here(diary, day_in(diary.zone, now)),
        bill=bill(order, shop),
        return_number=next((str(cause) for cause in known.causes.values()), ""),
    )


def _care(works: list[Build], shop: House) -> dict[int, str | None]:
    """Build id → the address of its hilt's own page, where the work is finished."""
    finished = {w.pk: w.hilt.about for w in works if w.hilt and w.state in FINISHED}
    links = links_to(finished.values())
    return {pk: url_of(links.get(about), shop) for pk, about in finished.items()}


def _known(
    works: list[Build],
    diary: Calendar,
    now: datetime,
    care: Mapping[int, str | None],
    unit: str,
) -> _Known:
    ids = [work.pk for work in works]
    here = Match.objects.filter(build__in=ids, ended_at=None).values_list("build", flat=True)
    parcels = parcel_of(ids)
    asked = Asking.objects.filter(item__build__in=ids, ended_at=None)
    return _Known(
        dues=dues(ids, diary, now),
        parcels=parcels,
        to_buy=cells_to_buy(parcels),
        leaving={pk: day_of(parcel, diary, now) for pk, parcel in parcels.items()},
        holds=open_holds(ids),
        photos=_by_build(seen_photos(ids)),
        notes=_by_build(standing_notes(ids).select_related("photo")),
        here=frozenset(here),
        diary=diary,
        now=now,
        ready=frozenset(ready_since(works)),
        by_name=len(ids) > 1,
        care=care,
        asked=frozenset(asked.values_list("item", flat=True)),
        films=shown_films(works),
        booklets={pk: in_order(found) for pk, found in published_booklets(ids).items()},
        unit=unit,
        causes=causes_of(works),
        odds=shown_odds(works, diary, now),
        servings=servings([work for work in works if work.is_open], diary),
    )


def _by_build(rows: Iterable[OfBuild]) -> dict[int, list[OfBuild]]:
    grouped: dict[int, list[OfBuild]] = {}
    for row in rows:
        grouped.setdefault(row.build_id or 0, []).append(row)
    return grouped


def seen_photos(ids: list[int]) -> QuerySet[Photo]:
    """Shared photos whose pictures are made, the newest first; the others follow."""
    made = shared_photos(ids).filter(blob__renditions__isnull=False)
    return made.order_by("-taken_at", "-pk").distinct()


def _work(build: Build, known: _Known) -> Work:
    due, parcel = known.dues.get(build.pk), known.parcels.get(build.pk)
    is_here = build.pk in known.here
    is_to_come = build.state == State.BOOKED and bool(build.hilt) and not is_here
    is_ready = build.pk in known.ready
    first = days_for(build, known.diary).first_day(known.now)
    is_out = parcel is not None or is_ready or not build.is_open
    is_late = bool(due and due.day < first and not is_out)
    holds = known.holds.get(build.pk, []) if build.is_open else []
    asked = [held for held in holds if held.turn == Turn.CUSTOMER]
    photos, noted, on_photos = _looked_at(build, known)
    cause = known.causes.get(build.pk) if is_to_come else None
    kept_away = instead_of_posting([cause] if cause else [])
    serving = None if parcel or is_ready else known.servings.get(build.pk)
    return Work(
        build=build,
        headline=words.headline(
            build,
            by_name=known.by_name,
            is_here=is_here,
            is_packed=parcel is not None,
            is_ready=is_ready,
            is_kept_away=bool(kept_away),
        ),
        next_step=words.next_step(build),
        day=due.day if due else None,
        day_line=words.due_line(build, due, is_late) if due else "",
        odds_line=words.odds_line(known.odds.get(build.pk), is_late),
        moved_from=due.promised if due and due.waited_days else None,
        is_late=is_late,
        is_ready=is_ready,
        parcel=parcel,
        leaves=known.leaving.get(build.pk),
        is_expected=is_to_come and not kept_away,
        kept_away=kept_away,
        turns=[
            (words.asked(held), held.words)
            for held in asked
            if not _has_its_own(held, build, known)
        ],
        waits=[words.waits(held) for held in holds if held not in asked][:1],
        photos=[photo for photo in photos if photo.pk not in {one.photo.pk for one in on_photos}],
        marked=on_photos,
        notes=noted,
        care_url=known.care.get(build.pk),
        film=known.films.get(build.pk),
        is_without_cell=build.pk in known.to_buy,
        cells_to_buy=known.to_buy.get(build.pk, []),
        needed_by=serving.needed_by if serving else None,
        is_too_late=bool(serving and due and not is_late and serving.is_missed_by(due.day)),
        booklets=known.booklets.get(build.pk, []) if build.state in FINISHED else [],
        blade=told_of(build.blade, known.unit) if build.blade else "",
    )


def _has_its_own(held: Hold, build: Build, known: _Known) -> bool:
    """Whether the page asks by itself what a hold waits for: a quote, a consent."""
    is_consent = held.reason == HoldReason.STUCK and build.item_id in known.asked
    return held.quote_id is not None or is_consent


def _looked_at(build: Build, known: _Known) -> tuple[list[Photo], list[Noted], list[Marked]]:
    """Photos, notes of how it came, and the photos that those are marked on."""
    photos = known.photos.get(build.pk, [])
    if build.state in _NOT_LOOKED_AT:
        return photos, [], []
    noted = numbered(known.notes.get(build.pk, []), photos)
    return photos, noted, marked(photos, noted)


def photo_of(order: Order, photo_id: int) -> Photo | None:
    """A photo that is shared and belongs to a build of the order; else None."""
    found = Photo.objects.filter(pk=photo_id, shared=True, build__item__order=order)
    return found.select_related("blob").first()


def film_of(order: Order, film_id: int) -> Film | None:
    """A film that is published and of a build of the order; else None."""
    return _published(film_id).filter(build__item__order=order).first()


def film_of_hilt(hilt: Hilt, film_id: int) -> Film | None:
    """A film that is published and of finished work for this hilt's owner; else None."""
    return _published(film_id).filter(build__in=_finished(hilt)).first()


def _published(film_id: int) -> QuerySet[Film]:
    found = Film.objects.filter(pk=film_id, published_at__isnull=False, ended_at=None)
    return found.select_related("build__hilt", "build__blade", "blob", "smaller", "poster")


def paper_of(order: Order, number: str) -> Invoice | None:
    """A numbered paper of the order; None for any other."""
    found = Invoice.objects.select_related("order", "credits").filter(order=order)
    return found.filter(number=number).first()
