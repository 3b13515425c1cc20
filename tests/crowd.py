"""A shop that has worked for years: builds that ended, by the thousand, with all that hung on them.

Rows are written in bulk: what is asked of them is what pages cost beside them.
"""

from collections.abc import Iterable
from datetime import datetime, timedelta
from itertools import count
from typing import Any
from uuid import uuid4

from django.db import models

from builds.dispatch.models import Packed, Parcel
from builds.hilts.models import Hilt
from builds.intake.models import Arrival, Belonging, CellCheck, ConditionNote, Match, Photo, View
from builds.models import Build, Hold, Move
from builds.progress.states import Kind, State
from builds.queue.models import Promise
from shop.history.models import Entry
from shop.house.models import Counter
from shop.models import Blob, Customer, Item, Order, User
from shop.orders.models import Answer, Enquiry, EnquiryState
from shop.post.models import Message
from shop.post.models import State as Post

_DAY = timedelta(days=1)
_ENDS = (State.SENT, State.COLLECTED, State.RETURNED, State.WITHDRAWN, State.SENT)
_SAID = (Post.SENT, Post.FAILED, Post.WITHDRAWN, Post.RECEIVED, Post.QUEUED)
_numbers = count(1)


def ended_builds(many: int, whose: Customer, by: User, now: datetime) -> list[Build]:
    """So many builds that ended, each fourth of them one customer's, with what was kept of them."""
    people = [*_customers(many // 4 + 1, now), whose]
    orders = _kept(
        Order(number=_number(), customer=_one(people, i), placed_at=now - 90 * _DAY, token=uuid4())
        for i in range(many)
    )
    items = _kept(Item(order=order, wanted="one board, two switches") for order in orders)
    hilts = _kept(
        Hilt(customer=order.customer, name="Copperfen", name_folded="copperfen", since=now)
        for order in orders
    )
    first = _numbers_of_builds(many)
    builds = _kept(
        Build(
            number=first + i,
            item=items[i],
            hilt=hilts[i],
            kind=Kind.FULL,
            state=_one(_ENDS, i),
            state_since=now - (i % 300 + 1) * _DAY,
        )
        for i in range(many)
    )
    _enquiries(orders, by, now)
    _came(builds, by, now)
    _worked_on(builds, by, now)
    _said(builds, now)
    _left(builds, by, now)
    return builds


def _enquiries(orders: list[Order], by: User, now: datetime) -> None:
    """What led to each of the orders, and beside it one in every other state."""
    for state in EnquiryState:
        _kept(
            Enquiry(
                token=uuid4(),
                customer=order.customer,
                wishes="a second switch",
                state=state,
                why_lost="dear" if state == EnquiryState.LOST else "",
                came_at=now,
                state_since=now,
                noted_by=by,
                order=order if state == EnquiryState.ORDERED else None,
            )
            for order in orders
        )


def _came(builds: list[Build], by: User, now: datetime) -> None:
    arrivals = _kept(
        Arrival(
            token=uuid4(),
            came_at=now,
            received_by=by,
            box="sound",
            tracking=f"T{build}",
            is_matched=True,
        )
        for build in builds
    )
    _kept(Match(arrival=a, build=b, at=now, by=by) for a, b in zip(arrivals, builds, strict=True))
    _kept(
        Belonging(arrival=a, build=b, what="key", returned_at=now)
        for a, b in zip(arrivals, builds, strict=True)
    )
    _kept(CellCheck(build=build, result="good", by=by, at=now) for build in builds)
    blobs = _kept(
        Blob(sha256=f"{next(_numbers):064x}", size=1, media_type="image/jpeg", kept_at=now)
        for _ in builds
    )
    view = View.objects.first()
    photos = _kept(
        Photo(blob=o, build=b, view=view, stage=State.INTAKE, taken_at=now, taken_by=by)
        for o, b in zip(blobs, builds, strict=True)
    )
    _kept(
        ConditionNote(build=p.build, section="grip", grade="worn", photo=p, by=by, at=now)
        for p in photos
    )


def _worked_on(builds: list[Build], by: User, now: datetime) -> None:
    then = now - 2 * _DAY
    _kept(Promise(build=build, day=now.date(), at=then, by=by) for build in builds)
    _kept(
        Hold(
            build=build, reason="parts", turn="customer", words="speaker", chase_on=now.date(),
            since=then, put_by=by, ended_at=now, ended_by=by,
        )
        for build in builds
    )  # fmt: skip
    _kept(
        Move(
            build=build, token=uuid4(), from_state=State.DISPATCH, to_state=build.state, at=then,
            by=by, was_since=then,
        )
        for build in builds
    )  # fmt: skip
    _kept(
        Answer(item_id=b.item_id, kind="heat", is_yes=True, text="Do it.", how="mail", at=then)
        for b in builds
    )
    _kept(Entry(at=then, actor=by, verb="booked", about=build.about) for build in builds)


def _said(builds: list[Build], now: datetime) -> None:
    _kept(
        Message(
            key=f"crowd:{uuid4()}",
            about=about,
            occasion="free",
            customer=build.item.order.customer,
            to="wren@example.com",
            subject="A word",
            body="It goes well.",
            state=_one(_SAID, i),
            message_id=f"<{uuid4()}@larkhill.example>",
            made_at=now,
            not_before=now,
            done_at=now,
        )
        for i, build in enumerate(builds)
        for about in (build.about, f"order:{build.item.order_id}")
    )


def _left(builds: list[Build], by: User, now: datetime) -> None:
    gone = [build for build in builds if build.state == State.SENT]
    parcels = _kept(
        Parcel(
            token=uuid4(),
            day=build.state_since.date(),
            closed_at=build.state_since,
            closed_by=by,
            left_at=build.state_since,
            left_by=by,
            tracking=f"OUT{build}",
        )
        for build in gone
    )
    _kept(Packed(parcel=p, build=b) for p, b in zip(parcels, gone, strict=True))


def _customers(many: int, now: datetime) -> list[Customer]:
    names = [f"Tamsin {next(_numbers)}" for _ in range(many)]
    return _kept(
        Customer(
            called=name,
            called_folded=name.casefold(),
            full_name=name,
            name_folded=name.casefold(),
            family_folded=name.casefold(),
            email_folded="",
            since=now,
        )
        for name in names
    )


def _numbers_of_builds(many: int) -> int:
    """The first of so many numbers in a row, which nobody else is given."""
    counter, _ = Counter.objects.get_or_create(series="builds")
    Counter.objects.filter(pk=counter.pk).update(last=counter.last + many)
    return int(counter.last) + 1


def _number() -> str:
    return f"old-{next(_numbers):05d}"


def _one(of: Any, i: int) -> Any:
    return of[-1] if i % 4 == 0 else of[i % len(of)]


def _kept(rows: Iterable[Any]) -> list[Any]:
    made: list[models.Model] = list(rows)
    return list(type(made[0])._default_manager.bulk_create(made)) if made else []
