"""Fills an empty shop with the demo. All of it or nothing: one transaction, after the pictures."""

import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import transaction

from builds.bench.actions.intake import log_arrival
from builds.bench.actions.tell import page_link
from builds.demo import (
    booklets,
    buying,
    classed,
    drawing,
    earlier,
    film,
    fitted,
    gestures,
    jobs_done,
    jobs_open,
    money,
    parcels,
    parts,
    quotes,
    returns,
    sheet,
    sounding,
    talk,
    timed,
)
from builds.demo.days import Days, token
from builds.demo.house import Crew, blank, open_shop
from builds.demo.job import Job
from builds.demo.walk import Photos, Walk
from builds.feeds.actions import make_feed
from builds.intake.actions import add_photo
from builds.intake.models import View
from builds.progress.linking import hilt_link
from builds.progress.models import Build
from builds.queue.actions.reckoning import reckon
from builds.queue.actions.settling import settle
from shop.diary.queries import calendar
from shop.env import CLEAR_SIGNS
from shop.files.actions import keep
from shop.files.models import Blob
from shop.files.rendering import render
from shop.house.queries import house
from shop.post.queries import url_of

Draw = Callable[[str, str, str], bytes]

JOBS = sorted((*jobs_done.JOBS, *jobs_open.JOBS), key=lambda job: -job.booked)
NOBODY = "Not named yet"
ASKED_ABOUT = "Tallow Street"  # photos of it came with an enquiry
AGE = timedelta(days=90)  # since the shop was set up


@dataclass(frozen=True)
class Filled:
    """What whoever typed the command wants to know."""

    sign_ins: tuple[tuple[str, str], ...]
    customer: str
    page: str
    owner: str
    hilt_page: str
    builds: int


def fill(now: datetime, address: str, draw: Draw = drawing.picture) -> Filled:
    """Draw the pictures, then put everything in at once.

    :param address: where the shop is opened, as customers' links name it.
    :param draw: makes a JPEG from a hilt's name, a view and the state of its box.
    """
    photos = _pictures(now, draw)
    sounds = sounding.kept(now)
    filmed = film.kept(now)
    passwords = (_password(), _password())
    with transaction.atomic():
        crew, days = _open(now, address, passwords)
        money.rules(crew, days)
        parts.stock_up(crew, days)
        sounding.shelve(sounds, crew.oda, now - AGE)
        gestures.plan(crew.oda, now - AGE)
        parcels.services(crew, days)
        classed.rules(crew.oda, now - AGE)
        buyer = buying.begin(crew, days)
        fitted.kits(crew.oda, now - AGE)
        walk = Walk(crew, days, photos, customers=earlier.work(crew, days))
        made = {job.hilt: walk.go(job) for job in JOBS}
        money.keep_books(made, crew, days)
        buying.parcels_come(buyer)
        _stray_parcel(walk)
        talk.question(made["Copperfen"], days)
        talk.enquiries(crew.oda, days, [photos[ASKED_ABOUT, v] for v in ("side-a", "bore-end")])
        quotes.show(walk, made)
        sounding.show(sounds, made, crew, days)
        returns.show(made, crew, days)
        film.show(filmed, made, crew, days)
        talk.fail(made["Marram"], crew.oda, days)
        timed.at_present(crew, days)
        make_feed("my phone", token=token("feed"), by=crew.oda, now=now - AGE)
        talk.deliver_all()
        parcels.goods(made["Weir House"], crew, days)
        done = made["Osier"]
        talk.show_work(done, crew.oda, now)
    # Not within the transaction: bytes are on the disk before a row says so.
    booklets.show([made[name] for name in booklets.SHOWN], crew, days)
    shown = made["Weir House"]
    sheet.half_done(crew.oda, now)
    settle(now)
    reckon(now)
    return Filled(
        sign_ins=((crew.oda.email, passwords[0]), (crew.jory.email, passwords[1])),
        customer=shown.item.order.customer.called,
        page=url_of(page_link(shown, now), house()) or "",
        owner=done.item.order.customer.called,
        hilt_page=_own_page(done, now),
        builds=Build.objects.count(),
    )


def _own_page(build: Build, now: datetime) -> str:
    return url_of(hilt_link(build.hilt, now), house()) or "" if build.hilt else ""


def _password() -> str:
    groups = ["".join(secrets.choice(CLEAR_SIGNS.lower()) for _ in range(4)) for _ in range(3)]
    return "-".join(groups)


def _open(now: datetime, address: str, passwords: tuple[str, str]) -> tuple[Crew, Days]:
    year = now.astimezone(blank(address).zone).year
    crew = open_shop(address, passwords, year, now - AGE)
    return crew, Days(now, calendar(house()))


def _views(job: Job) -> list[str]:
    if job.came is None:
        return []
    sides = ["side-a", "side-b", "bore-end"] if job.all_views else []
    stages = [stage for stage, _ago in job.reached]
    chassis = ["chassis"] if "test" in stages else []
    packed = ["packed"] if job.packed or "dispatch" in stages else []
    boxes = [] if job.same_box else ["box-shut", "box-open"]
    return [*boxes, "laid-out", *sides, *chassis, *packed]


def _pictures(now: datetime, draw: Draw) -> Photos:
    # Not within the transaction: what is kept must be on the disk before a row says so.
    wanted = [(job.hilt, view, job.box) for job in JOBS for view in _views(job)]
    wanted += [(NOBODY, view, "wet") for view in ("box-shut", "box-open")]
    wanted += [(ASKED_ABOUT, view, "sound") for view in ("side-a", "bore-end")]
    kept: dict[bytes, Blob] = {}
    photos: Photos = {}
    for hilt, view, box in wanted:
        jpeg = draw(hilt, view, box)
        if jpeg not in kept:
            kept[jpeg] = keep(SimpleUploadedFile(f"{view}.jpg", jpeg, "image/jpeg"), now)
            render(kept[jpeg].pk, now)
        photos[hilt, view] = kept[jpeg]
    return photos


def _stray_parcel(walk: Walk) -> None:
    """A parcel that nobody has placed."""
    now, jory = walk.days.back(1, 11, 50), walk.crew.jory
    fields = {
        "sender": "",
        "carrier": "Fenland Parcels",
        "tracking": "",
        "box": "wet",
        "note": "Label washed out, postmark Northwick. A hilt inside, no letter.",
    }
    mark = token("arrival", NOBODY)
    arrival, _said = log_arrival(fields, token=mark, build=None, by=jory, now=now)
    for code in ("box-shut", "box-open"):
        view = View.objects.get(code=code)
        later = now + timedelta(minutes=4)
        add_photo(walk.photos[NOBODY, code], arrival=arrival, view=view, by=jory, now=later)
