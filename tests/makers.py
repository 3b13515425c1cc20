"""Makes the things of a shop for tests: a build in a state, what its gate asks, threads at once."""

import hashlib
from collections.abc import Callable, Sequence
from datetime import date, datetime, timedelta
from itertools import count
from threading import Barrier, Thread
from typing import Any
from uuid import uuid4

from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection

from builds.dispatch.actions import tick_line
from builds.dispatch.models import Parcel, Service
from builds.dispatch.queries import packing_of
from builds.dispatch.states import Stowage, Terminals
from builds.fitting.actions.parts import fit_part, place, plan_part
from builds.fitting.actions.plan import choose_chassis
from builds.fitting.models import BuildPart
from builds.fitting.queries.listed import parts_of
from builds.handover.actions import gestures as handover
from builds.handover.actions.chapters import Mark, add_chapter
from builds.handover.actions.films import Source, publish, put_film
from builds.handover.models import Film
from builds.handover.queries.booklets import published_booklets
from builds.handover.states import Type
from builds.hilts.actions import add_step
from builds.hilts.models import Hilt
from builds.intake import actions as intake
from builds.intake.models import Arrival, View
from builds.models import Build, Tray
from builds.progress import actions as progress
from builds.progress.states import Kind, Leaves, State
from builds.proving import actions as proving
from builds.proving.models import RunLine
from builds.proving.states import Read
from builds.proving.values import Typed
from builds.sounds.actions import add_slot, seen_as, verify_slot
from builds.teardown.actions import try_depth
from shop.files.actions import keep_file
from shop.house.states import Prices, Rounding
from shop.models import Blob, Customer, Item, User
from shop.orders.actions import add_item, place_order, record_answer
from shop.orders.models import ItemKind, Order, Quote, QuoteState
from shop.stores.actions.parts import add_part
from shop.stores.actions.stock import receive
from shop.stores.models import Part
from tests import films
from tests.hilts.shapes import make_joints, make_sections

SPECS_OF: dict[str, dict[str, Any]] = {
    "speaker": {"diameter_mm": 28.0, "depth_mm": 8.0, "ohm": 8.0},
    "cell": {
        "diameter_mm": 18.6, "length_mm": 69.5, "protected": "yes", "chemistry": "ion",
        "nominal_mv": 3600.0, "full_mv": 4200.0,
    },
    "board": {"width_mm": 18.0, "height_mm": 4.0, "length_mm": 42.0, "switches": 2.0},
    "wire": {"gauge": 22.0},
    "box": {
        "inner_length_mm": 400.0, "inner_width_mm": 120.0, "inner_height_mm": 120.0,
        "mass_g": 260.0,
    },
    "blade": {
        "diameter_mm": 25.4, "length_mm": 914.0, "lit_by": "pixels", "pixels": 132.0,
        "channel_ma": 12.0, "channel_typical_ma": 8.0, "quiescent_ma": 0.6,
    },
}  # fmt: skip
RATINGS_OF: dict[str, dict[str, float]] = {
    "speaker": {"power_mw": 3000.0},
    "cell": {"capacity_mah": 3000.0, "max_current_ma": 10_000.0},
    "board": {"output_ma": 10_000.0},
}
FRIDAY = date(2026, 11, 27)
_numbers = count(1)


def make_customer(now: datetime, called: str = "Wren") -> Customer:
    """A customer with an address of the reserved kind."""
    return Customer.objects.create(
        called=called, full_name=f"{called} Aldous", email=f"{called}@example.com", since=now
    )


def make_item(by: User, now: datetime, customer: Customer | None = None) -> Item:
    """A job on an order of its own."""
    customer = customer or make_customer(now)
    order = place_order(customer, token=uuid4(), by=by, now=now)
    return add_item(order, ItemKind.JOB, "one board, two switches", by, now)


def make_build(
    by: User,
    now: datetime,
    state: str = State.BOOKED,
    *,
    kind: str = Kind.FULL,
    leaves_by: str = Leaves.POST,
    tray: Tray | None = None,
    customer: Customer | None = None,
) -> Build:
    """A build that stands in a state, in a tray past intake, without what led there."""
    item = make_item(by, now, customer)
    hilt = None
    if kind != Kind.BLADE:
        owner = item.order.customer
        hilt = Hilt.objects.create(customer=owner, name=f"Hazel {next(_numbers)}", since=now)
    build = progress.book(item, hilt=hilt, kind=kind, leaves_by=leaves_by, by=by, now=now)
    if hilt and state not in {State.BOOKED, State.INTAKE} and build.state != state:
        tray = tray or make_tray()
    Build.objects.filter(pk=build.pk).update(state=state, tray=tray)
    build.refresh_from_db()
    return build


def make_agreed(
    order: Order,
    by: User,
    now: datetime,
    high: int = 45_000,
    *,
    deposit: int = 0,
    ceiling: int | None = None,
    tax: int = 0,
    lines: Sequence[dict[str, Any]] = (),
    prices: str = Prices.WITH_TAX,
) -> Quote:
    """A quote that was accepted: what an order comes to, the deposit asked, lines with prices."""
    quote = Quote.objects.create(
        order=order,
        revision=order.quotes.count() + 1,
        token=uuid4(),
        currency="GBP",
        prices=prices,
        rounding=Rounding.HALF_UP,
        low_minor=high,
        high_minor=high,
        ceiling_minor=ceiling,
        tax_minor=tax,
        deposit_minor=deposit,
        text="as said",
        made_at=now,
        made_by=by,
    )
    usual = {"kind": "extra", "words": "x", "low_thousandths": 1_000, "quantity_thousandths": 1_000}
    for line in lines:
        quote.lines.create(**{**usual, **line})
    # What was sent is fixed: the lines are written before.
    quote.state, quote.sent_at, quote.answered_at = QuoteState.ACCEPTED, now, now
    quote.answered_how = "mail"
    quote.save()
    return quote


def make_tray() -> Tray:
    """A tray with the next free number."""
    return Tray.objects.create(number=next(_numbers))


def make_part(
    by: User, now: datetime, on_hand: int = 0, *, kind: str = "speaker", name: str = ""
) -> Part:
    """A part as somebody types it in, and so many of it on the shelf."""
    part = add_part(
        kind,
        {"name": name or f"part {next(_numbers)}"},
        spec=SPECS_OF[kind],
        stated=RATINGS_OF.get(kind, {}),
        source="data sheet",
        token=uuid4(),
        by=by,
        now=now,
    )
    if on_hand:
        receive(part, on_hand, token=uuid4(), by=by, now=now)
    return part


def fit_a_part(build: Build, by: User, now: datetime) -> BuildPart:
    """A part out of the stores in a build: what its gate asks before it is tested."""
    part = make_part(by, now, 1)
    planned = plan_part(build, part, 1, section=None, token=uuid4(), by=by, now=now)
    return fit_part(planned, token=uuid4(), by=by, now=now)


def describe_slot(build: Build, by: User, now: datetime) -> None:
    """A slot on the card of a build."""
    values = {"place": 1, "name": "Ember", "colour": "#ff4000", "look": "steady"}
    add_slot(build.pk, values, token=uuid4(), by=by, now=now)


def carry(build: Build, by: User, now: datetime) -> None:
    """On a hilt taken apart: parts that fit it, and a slot that its cell carries."""
    assert build.hilt
    grip = build.hilt.sections.filter(ended_at=None)[1]
    cell, board, _blade = (_planned(build, kind, by, now) for kind in ("cell", "board", "blade"))
    for part, on in ((cell, None), (board, cell)):
        place(part, grip, part.position, on, by=by, now=now)
    describe_slot(build, by, now)


def describe_gesture(build: Build, by: User, now: datetime) -> None:
    """A line of how a build is worked."""
    line = {"being": "off", "wanted": "blade on", "do": "one short press"}
    values = {**line, "see": "", "hear": "", "out": ""}
    handover.add_gesture(build.pk, values, token=uuid4(), by=by, now=now)


def try_all(build: Build, by: User, now: datetime) -> None:
    """Each slot and each gesture of a build tried on its hilt."""
    for slot in build.slots.filter(ended_at=None):
        verify_slot(slot.pk, seen=seen_as(slot), by=by, now=now)
    for line in build.gestures.filter(ended_at=None):
        handover.try_gesture(line.pk, seen=handover.seen_as(line), by=by, now=now)


def fit_all(build: Build, by: User, now: datetime) -> None:
    """All parts of a build in its hilt and said how it is worked: what its gate asks next."""
    describe_gesture(build, by, now)
    for part in list(parts_of([build.pk])):
        serial = "S-1" if part.kind == "board" else ""
        fit_part(part, serial=serial, token=uuid4(), by=by, now=now)


def _planned(build: Build, kind: str, by: User, now: datetime) -> BuildPart:
    part = make_part(by, now, 1, kind=kind)
    return plan_part(build, part, 1, section=None, token=uuid4(), by=by, now=now)


def take_apart_and_carry(build: Build, by: User, now: datetime) -> None:
    """All that the gate out of teardown asks of a hilt and of what goes into it."""
    take_apart(build, by, now)
    carry(build, by, now)


def prove(build: Build, by: User, now: datetime) -> None:
    """Each thing tried, a run of the bench test in which everything passes: what its gate asks."""
    try_all(build, by, now)
    newest = build.runs.first()
    facts: dict[str, Any] = {"by": by, "now": now}
    seen = newest.number if newest else 0
    run = proving.begin_run(build.pk, seen=seen, token=uuid4(), **facts)
    entries = [good_reading(line) for line in run.lines.all() if line.read != Read.TIMED]
    proving.keep_readings(build.pk, run.pk, entries, token=uuid4(), **facts)
    facts["now"] = now + timedelta(hours=13)
    for line in run.lines.filter(read=Read.TIMED):
        volts = 4100 if line.unit else None
        proving.begin_timer(
            build.pk, run.pk, line.pk, millivolts=volts, token=uuid4(), by=by, now=now
        )
        proving.end_timer(
            build.pk, run.pk, line.pk, is_right=True, millivolts=volts, token=uuid4(), **facts
        )


def good_reading(line: RunLine) -> proving.Entry:
    """What passes on a line of a bench test that is read."""
    if line.read == Read.EYE:
        return proving.Entry(line.pk)
    value = next((each for each in (line.times, line.low, line.high) if each is not None), 1)
    return proving.Entry(line.pk, Typed(f"{value:g}", float(value)))


def make_blob(now: datetime, content: bytes = b"") -> Blob:
    """A blob by the hash of its bytes; its file is no part of these tests."""
    content = content or f"photo {next(_numbers)}".encode()
    sha256 = hashlib.sha256(content).hexdigest()
    blob, _ = Blob.objects.get_or_create(
        sha256=sha256, defaults={"size": len(content), "media_type": "image/jpeg", "kept_at": now}
    )
    return blob


def make_film(build: Build, by: User, now: datetime) -> Film:
    """A published film of a build with a chapter, of bytes that begin as a film does."""
    content = films.like(films.WEBM)
    blob = keep_file(SimpleUploadedFile("film", content), "video/webm", now, at_most=len(content))
    facts: dict[str, Any] = {"by": by, "now": now}
    film = put_film(build.pk, Source(blob), seen=0, token=uuid4(), **facts)
    add_chapter(film.pk, Mark(0, "Switch on"), token=uuid4(), **facts)
    return publish(film.pk, **facts)


def make_arrival(by: User, now: datetime) -> Arrival:
    """A parcel on the doormat."""
    return intake.receive(token=uuid4(), fields={"box": "sound"}, by=by, now=now)


def take_views(build: Build, stage: str, by: User, now: datetime) -> None:
    """A photo of each view that a stage asks for."""
    for view in View.objects.filter(stage=stage):
        intake.add_photo(make_blob(now), build=build, view=view, by=by, now=now)


def answer(build: Build, kind: str, by: User, now: datetime, is_yes: bool = True) -> None:
    """The customer's word on a job."""
    record_answer(build.item, kind=kind, is_yes=is_yes, text="Do it.", how="mail", by=by, now=now)


def check_cell(
    build: Build, by: User, now: datetime, result: str = "good", millivolts: int | None = 3700
) -> None:
    """A look at a build's cell."""
    intake.check_cell(
        build=build, arrival=None, result=result, millivolts=millivolts, note="", by=by, now=now
    )


def make_parcel(builds: Sequence[Build], by: User, now: datetime) -> Parcel:
    """A parcel around builds, without asking their gates: cells out, its whole list ticked."""
    parcel = make_bare_parcel(builds, by, now)
    for build in builds:
        hand_over(build, by, now)
    stow(parcel, by, now)
    tick_all(parcel, by, now)
    return parcel


def hand_over(build: Build, by: User, now: datetime) -> None:
    """A booklet that its customer may see, without setting one: what leaving asks of a hilt."""
    if build.hilt_id is None or build.pk in published_booklets([build.pk]):
        return
    for size in Type.values:
        blob = make_blob(now, f"booklet {build.pk} {size}".encode())
        build.booklets.create(
            token=uuid4(), type_size=size, blob=blob, data_sha256="0" * 64, made_at=now,
            made_by=by, published_at=now,
        )  # fmt: skip


def stow(parcel: Parcel, by: User, now: datetime, stowage: str = Stowage.LEFT_OUT) -> None:
    """Say of each hilt in a parcel where its cell is; its ends are safe."""
    for packed in parcel.packed.filter(taken_out_at=None, build__hilt__isnull=False):
        ends = "" if stowage == Stowage.LEFT_OUT else Terminals.HOLDER
        parcel.stowed.create(build=packed.build, stowage=stowage, terminals=ends, by=by, at=now)


def tick_all(parcel: Parcel, by: User, now: datetime) -> None:
    """Tick every line of a parcel's packing list."""
    for line in packing_of(parcel).open:
        tick_line(parcel.pk, line.code, line.build, token=uuid4(), by=by, now=now)


def make_bare_parcel(builds: Sequence[Build], by: User, now: datetime) -> Parcel:
    """A parcel of which nothing is packed yet."""
    parcel = Parcel.objects.create(token=uuid4(), day=FRIDAY, closed_at=now, closed_by=by)
    for build in builds:
        parcel.packed.create(build=build)
    return parcel


def make_service(mode: str = "adr-road", **more: Any) -> Service:
    """A service of a carrier."""
    facts = {"name": f"{mode} {next(_numbers)}", "carrier": "Fenland Parcels", "mode": mode}
    return Service.objects.create(**{**facts, **more})


def take_apart(build: Build, by: User, now: datetime) -> None:
    """All that the gate out of teardown asks of a hilt: measured, its steps, chassis, depth."""
    assert build.hilt
    make_joints(make_sections(build.hilt, by, now), by, now)
    add_step(
        build.hilt, words="pommel", how="", for_owner=True, wants_heat=False, firsts=[],
        token=uuid4(), by=by, now=now,
    )  # fmt: skip
    try_depth(build.pk, 25.4, "25.4 mm", token=uuid4(), by=by, now=now)
    choose_chassis(build, "removable", by=by, now=now)


def put_on_hold(
    build: Build, by: User, now: datetime, turn: str = "customer", before: str = ""
) -> Any:
    """A hold, by default on the customer and at once."""
    fields = {
        "reason": "answer",
        "turn": turn,
        "words": "which colour",
        "before": before,
        "chase_on": (now + timedelta(days=5)).date(),
    }
    return progress.hold(build.pk, fields=fields, by=by, now=now)


def at_once(*deeds: Callable[[], Any]) -> list[Any]:
    """Run deeds in threads that start together, each with a connection of its own.

    Each answer is what the deed returned, or the error that it raised.
    """
    barrier, answers = Barrier(len(deeds)), [None] * len(deeds)

    def run(index: int, deed: Callable[[], Any]) -> None:
        try:
            connection.ensure_connection()
            barrier.wait(10)
            answers[index] = deed()
        except Exception as error:  # the test looks at it
            answers[index] = error  # type: ignore[call-overload]
        finally:
            connection.close()

    threads = [Thread(target=run, args=(index, deed)) for index, deed in enumerate(deeds)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    return answers
