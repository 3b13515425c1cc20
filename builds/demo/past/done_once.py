"""Does each tale once by the rooms' own actions, and takes it back when it has been read."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from decimal import Decimal

from django.db import transaction
from django.db.models import F

from builds.bench.actions.tell import note_said
from builds.demo.days import Days, token
from builds.demo.house import Crew
from builds.demo.job import Job
from builds.demo.past.bundle import Bundle, read
from builds.demo.past.jobs import TALES, Tale
from builds.demo.walk import Photos, Walk
from builds.fitting.actions.releasing import release_due
from builds.intake.actions import add_photo
from builds.intake.models import Photo
from builds.progress.models import Build, Hold, Tray
from builds.progress.states import STAGES, HoldReason, Turn
from shop.house.queries import house
from shop.orders.actions.papers import give_receipt, issue
from shop.orders.actions.payments import pay
from shop.orders.models import How, Order, Paid, Way
from shop.orders.queries.invoicing import PaperLine
from shop.people.actions import add_customer
from shop.people.models import Customer, User
from shop.post.models import Message, Occasion, State
from shop.stores.actions.stock import receive
from shop.stores.models import StockLevel

PHOTOS, MESSAGES = 10, 5  # of each build
# Whoever comes is called so until the tale is told again.
CALLED, FAMILY, HOUSE, PHONE = "Quillon", "Vandermast", "1 Candle Street", "01632 960000"
_SHOWN = "Weir House"  # every view of it is there
_HELD = timedelta(days=3)


@dataclass(frozen=True)
class Told:
    """A tale as it was done: how often it is told again, and its rows."""

    share: int
    bundle: Bundle


def tales(crew: Crew, days: Days) -> list[Told]:
    """Do every tale once; nothing of it stays."""
    photos = _photos()
    return [Told(tale.share, _done(tale, Walk(crew, days, photos))) for tale in TALES]


def _photos() -> Photos:
    """The demo's pictures, which all who come share."""
    shown = Photo.objects.exclude(view=None).select_related("build__hilt", "blob", "view")
    builds = shown.exclude(build=None).exclude(build__hilt=None).order_by("pk")
    found: Photos = {}
    for photo in builds:
        if photo.build and photo.build.hilt and photo.view:
            found.setdefault((photo.build.hilt.name, photo.view.code), photo.blob)
    hilts = {job.hilt for tale in TALES for job in tale.jobs}
    spare = {view: blob for (hilt, view), blob in found.items() if hilt == _SHOWN}
    return {(hilt, view): blob for hilt in hilts for view, blob in spare.items()} | found


def _done(tale: Tale, walk: Walk) -> Bundle:
    with transaction.atomic():
        customer = _customer(walk.crew.oda, walk.days.back(59))
        _enough_in_stores(walk)
        orders = set()
        for job in tale.jobs:
            walk.customers[job.who] = customer
            build = walk.go(replace(job, tray=_free_tray(job)))
            orders.add(build.item.order)
            _fill_up(build, walk)
        for order in orders if tale.paid_minor else ():
            _pay(order, tale.paid_minor, walk)
        Message.objects.filter(state=State.QUEUED).update(state=State.SENT, done_at=F("not_before"))
        release_due(walk.days.now)
        bundle = read(customer)
        transaction.set_rollback(True)
    return bundle


def _customer(by: User, now: datetime) -> Customer:
    fields = {
        "called": CALLED, "full_name": f"{CALLED} {FAMILY}", "phone": PHONE,
        "email": f"{CALLED}@{FAMILY}.example".casefold(),
        "address": f"{HOUSE}\nNorthwick\nZZ2 7NW", "country": "GB", "note": "",
    }  # fmt: skip
    return add_customer(fields, by, now)


def _enough_in_stores(walk: Walk) -> None:
    for level in StockLevel.objects.filter(on_hand__gt=0).select_related("part"):
        mark = token("past", level.part.pk)
        receive(level.part, 10_000, token=mark, by=walk.crew.oda, now=walk.days.back(59))


def _free_tray(job: Job) -> int | None:
    if job.came is None:
        return None
    taken = Build.objects.filter(state__in=STAGES).exclude(tray=None).values("tray")
    free = Tray.objects.filter(retired=False).exclude(pk__in=taken).first()
    return free.number if free else None


def _fill_up(build: Build, walk: Walk) -> None:
    """As many photos and messages as a build has; one hold that is over."""
    by, now = walk.crew.jory, build.state_since - timedelta(days=1)
    for number in range(MESSAGES - Message.objects.filter(about=build.about).count()):
        note_said(
            build, token=token("past", "said", build.pk, number), occasion=Occasion.FREE,
            how=How.TELEPHONE, how_words=str(How.TELEPHONE.label), words="Asked how it goes.",
            shop=house(), by=by, now=now,
        )  # fmt: skip
    kept = Photo.objects.filter(build=build) | Photo.objects.filter(arrival__matches__build=build)
    had = set(kept.values_list("blob", flat=True))
    spare = [blob for blob in walk.photos.values() if blob.pk not in had]
    for blob in spare[: max(0, PHOTOS - kept.distinct().count())]:
        add_photo(blob, build=build, view=None, by=by, now=now)
    Hold.objects.create(
        build=build, reason=HoldReason.ANSWER, turn=Turn.CUSTOMER, words="which look for the idle",
        chase_on=(now - _HELD).date(), since=now - 2 * _HELD, put_by=by, ended_at=now - _HELD,
        ended_by=by,
    )  # fmt: skip


def _pay(order: Order, total: int, walk: Walk) -> None:
    half, by = total // 2, walk.crew.oda
    for kind, ago in ((Paid.DEPOSIT, 28), (Paid.PAYMENT, 6)):
        now = walk.days.back(ago, 9, 40)
        row = pay(
            order, kind, half, Way.TRANSFER, "", now.date(), by=by, now=now,
            token=token("past", "paid", order.pk, kind),
        )  # fmt: skip
        give_receipt(row, token=token("past", "receipt", order.pk, kind), by=by, now=now)
    lines = [PaperLine("Work as agreed, parts included", Decimal(1), total, 2000)]
    now = walk.days.back(7, 16, 20)
    issue(order, lines, token=token("past", "invoice", order.pk), by=by, now=now)
