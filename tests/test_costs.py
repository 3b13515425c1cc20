"""Walks the URL map for what pages cost: as little in an old, full shop as in a young one.

A new page needs a line in ``VALUES`` only where its address names something new.
"""

import sys
from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection, reset_queries
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from builds.fitting.actions.wires import list_wire
from builds.fitting.values import Wire
from builds.handover.queries.films import about
from builds.hilts.actions.blades import add_blade
from builds.intake.models import Arrival, View
from builds.models import Build, Parcel, Place
from builds.progress.states import STAGES, Leaves, State
from builds.proving.models import SheetLine
from builds.visitor.actions import ask
from shop import clock
from shop.files.pieces import begin_upload
from shop.keeping.queries import export_file
from shop.models import Export, House, Message, User
from shop.orders.actions import LineFacts, add_item, draft_quote, quote_seen, save_draft
from shop.orders.actions.papers import give_receipt, issue
from shop.orders.actions.payments import pay
from shop.orders.enquiries import note_enquiry
from shop.orders.models import Invoice, ItemKind
from shop.orders.queries.invoicing import PaperLine
from shop.post.models import State as Post
from shop.stores.actions.kits import add_kit, put_in_kit
from shop.web.access import PROVEN_AT
from tests.bench.test_costs import ReadWhileDrawn, database_shut_while_drawing, ten_builds
from tests.crowd import ended_builds
from tests.crowd_fitting import much_fitted
from tests.crowd_stores import many_kits, many_parts, much_done
from tests.fitting import making as fitting
from tests.handover.booklets import published
from tests.handover.making import announced, come_back
from tests.importing.sheets import checked, xlsx
from tests.makers import check_cell, make_film, make_parcel, make_part, make_service, prove
from tests.sounds.crowd import Sounds
from tests.stores.bought import Bought
from tests.test_access import PAGES
from tests.visitor import making

__all__ = ["database_shut_while_drawing"]  # a fixture, asked for by its name

# Builds that are open, and those that have ended: 20, then 2,000, then more of them open.
SIZES = ((10, 10), (40, 1960), (60, 1960))
# Pages that list or find by what their address asks: one more look at each.
ASKED = {
    "fitting_parts": ["?kind=cell", "?begins=part", "?scan"],
    "stores_kit": ["?kind=cell"],
    "desk_messages": ["?show=failed", "?show=left", "?show=received", "?show=withdrawn"],
    "desk_find": ["?q=Copperfen", "?q=Ines", "?q=old-", "?q=part", "?q=Hazel"],
    "desk_orders": ["?begins=old-", "?begins=Ines"],
    "desk_customers": ["?begins=Ines"],
    "stores_stores": ["?begins=part", "?kind=cell", "?show=short", "?show=all"],
    "desk_enquiries": ["?show=answered", "?show=ordered", "?show=lost"],
    "handover_returns": ["?show=work", "?show=settled"],
    "desk_enquiry_new": ["?customer={customer}"],
    "desk_said": ["?customer={customer}", "?question={question}"],
    "desk_order_new": ["?customer={customer}"],
    "desk_blade_new": ["?customer={customer}", "?build={build}"],
    "stores_purchases": ["?show=settled"],
    "stores_claims": ["?show=settled"],
    "stores_claim_new": ["?part={part}"],
    "bench_arrival_new": ["?build={build}"],
    "sounds_shelf": ["?begins=Tide"],
    "sounds_bring": ["?build={build}"],
    "sounds_set": ["?board={part}"],
    "queue_order": ["?to=first"],
    "queue_new": ["?kind=repair"],
    "queue_if_day": ["?person={who}&day={saturday}&opens=09:00&closes=17:00"],
    "queue_if_closed": ["?first={saturday}&last={saturday}"],
    "queue_if_hands": ["?hours=2"],
    "queue_if_late": ["?line={line}&days=10"],
    "bench_dispatch": ["?day=2026-11-24", "?day=2026-11-30"],
}
BY_UPLOAD = {"files_upload", "handover_film_use", "handover_film_give_up"}
# What is not looked at here, and why.
AWAY = {
    "bench_paste": "what is pasted is answered; a look is led on to the dispatch day",
    "visitor_quote": "an answer is given there; a look is led on to the order's page",
    "visitor_consent": "the same",
    "visitor_sounds": "the same",
    "visitor_return": "the same, to the hilt's page",
    "feeds_read": "no page; tests/feeds hold what it costs",
    "later_worker": "a script that is there under HTTPS alone, and reads no table",
    "desk_first_setup": "a shop that is set up has none",
    "people_new_password": "wants a token of its own, and lists nothing",
    "people_second_step": "the same",
    "people_app_code": "wants the password anew",
    "people_passkey": "the same",
    "people_recovery_codes": "the same",
    "people_sign_in": "whoever is signed in is led on",
}


class Shop:
    """A shop that grows, and the addresses of its pages."""

    def __init__(self, by: User, now: datetime) -> None:
        self.by, self.now, self.ended = by, now, 0
        self.ines = making.customer(now)
        self.order = making.order(self.ines, now, number="2018-001")
        self.build = making.build(self.order, by, now, state=State.INTAKE)
        self.photo = making.photo(self.build, by, now, shared=True)
        finished = making.build(self.order, by, now, hilt="Long Quiet", state=State.INSTALL)
        self.as_built = making.photo(finished, by, now, shared=True, colour="#12233A")
        self.hilt_link = making.hilt_link_to(making.finished(finished, now), now)
        self.film, self.older_film = (make_film(each, by, now) for each in (self.build, finished))
        self.upload = begin_upload(
            about(self.build), "clip.webm", 9, mark="", most_mb=1, token=uuid4(), by=by, now=now
        )
        self.finished = finished
        self.booklet = published(finished, by, now)
        self.returned = announced(finished, now)
        self.to_collect = making.build(
            self.order, by, now, hilt="Fallow", state=State.DISPATCH, leaves_by=Leaves.COLLECTION
        )
        ships = making.build(self.order, by, now, hilt="Slow Marten", state=State.DISPATCH)
        self.proven = making.build(self.order, by, now, hilt="Low Tide", state=State.TEST)
        prove(self.proven, by, now)
        self.parcel = make_parcel([ships], by, now)
        self.service = make_service()
        self.parcel.stowed.update(
            stowage="packed-with", terminals="caps", chemistry="ion", unit="cell", count=1,
            needed=1, watt_hours=10.8, test_summary=True,
        )  # fmt: skip
        check_cell(ships, by, now)
        Parcel.objects.filter(pk=self.parcel.pk).update(service=self.service)
        wish = {"customer": self.ines, "wishes": "a second switch"}
        self.enquiry = note_enquiry(wish, token=uuid4(), by=by, now=now)
        self.place = Place.objects.create(name="Shelf A")
        self.bought = Bought(by, now)
        self.part = make_part(by, now, 10, kind="cell")
        quote = draft_quote(self.order, token=uuid4(), by=by, now=now)
        line = LineFacts("hours", "Wiring", 6000, 8000, 4200, 2000)
        save_draft(quote.pk, [line], {}, seen=quote_seen(quote), by=by, now=now)
        self.build_part = fitting.plan(self.build, self.part, by, now)
        self.wire = list_wire(
            self.build, Wire("cell", "board", "all", 22, 90), token=uuid4(), by=by, now=now
        )
        self.kit = add_kit("one switch", "", token=uuid4(), by=by, now=now)
        put_in_kit(self.kit.pk, self.part, 1, by=by, now=now)
        self.goods = add_item(self.order, ItemKind.GOODS, "a spare cell", by, now, 1, self.part)
        self.blade = add_blade(self.ines, {"name": "Long"}, token=uuid4(), by=by, now=now)
        self.sounds = Sounds(self.build, by, now)
        self.paper = self.bill()
        ask(self.order, "Does the clip fit?", once=uuid4(), shop=House.objects.get(), now=now)
        self.sheet = self.bring_in(4)
        self.export = self.write_out()

    def write_out(self) -> Export:
        """An export that can be fetched."""
        once = {"begun_at": self.now, "done_at": self.now}
        made = Export.objects.create(
            token=uuid4(), asked_at=self.now, asked_by=self.by, size=1, **once
        )
        export_file(made).parent.mkdir(parents=True, exist_ok=True)
        export_file(made).write_bytes(b"x")
        return made

    def bring_in(self, many: int) -> int:
        """A sheet of customers in which every row has something wrong."""
        rows = [[f"Maud {row}", "maud at example"] for row in range(many)]
        sheet = xlsx([["Name", "E-mail"], *rows])
        return checked(sheet, "customers", self.by, self.now).pk

    def bill(self) -> Invoice:
        """An invoice of the order, and a payment with its receipt."""
        facts: dict[str, Any] = {"by": self.by, "now": self.now}
        day = self.now.date()
        paid = pay(self.order, "payment", 500, "cash", "", day, token=uuid4(), **facts)
        give_receipt(paid, token=uuid4(), **facts)
        line = PaperLine("work", Decimal(1), 1_000)
        return issue(self.order, [line], token=uuid4(), **facts)

    def grow(self, still_open: int, ended: int) -> None:
        """Let it have so many builds that are open and that ended, beside those looked at."""
        while Build.objects.filter(state__in=STAGES).count() - 2 < still_open:
            ten_builds(self.by, self.now)
        self.bought.grow(3)
        self.bill()
        self.sheet = self.bring_in(ended)
        finished_builds = ended_builds(ended - self.ended, self.ines, self.by, self.now)
        many_parts(ended - self.ended, self.by, self.now)
        self.sounds.grow((ended - self.ended) // 40)
        many_kits((ended - self.ended) // 100, self.part)
        fitted = [self.build] * ((ended - self.ended) // 40)
        much_fitted(
            [*fitted, *Build.objects.filter(state__in=STAGES)], self.part, self.by, self.now
        )
        much_done(self.part, (ended - self.ended) // 10, self.by, self.now)
        come_back(finished_builds, self.now)
        self.ended = ended
        with connection.cursor() as cursor:
            cursor.execute("ANALYZE")  # as a database of some age has done by itself

    def values(self, name: str) -> dict[str, Any]:
        """What the address of a page names."""
        arrivals = Arrival.objects.filter(matches__build__state=State.INTAKE)
        own = {
            **{name: self.ines.pk for name in PAGES if name.startswith("forgetting_")},
            "desk_customer": self.ines.pk,
            "desk_account": self.ines.pk,
            "desk_statement": self.ines.pk,
            "desk_statement_pdf": self.ines.pk,
            "desk_answer": self.question,
            "desk_enquiry": self.enquiry.pk,
            "desk_service": self.service.pk,
            "desk_order_goods_part": self.goods.pk,
            "desk_person": self.by.pk,
            "desk_person_hours": self.by.pk,
            "desk_place": self.place.pk,
            **{name: self.part.pk for name in PAGES if name.startswith("stores_")},
            **{name: self.kit.pk for name in PAGES if name.startswith("stores_kit")},
            **{name: self.sheet for name in PAGES if name.startswith("importing_")},
            **{name: self.parcel.pk for name in PAGES if name.startswith("dispatch_parcel")},
            "dispatch_rules": self.service.pk,
            **{name: self.sounds.set.pk for name in PAGES if name.startswith("sounds_set")},
            "sounds_wish": self.sounds.board.pk,
            "handover_plan": self.sounds.board.pk,
            "desk_blade": self.blade.pk,
            "keeping_export_fetch": self.export.pk,
            "sounds_card_text": self.sounds.listing.pk,
            "sounds_card_kept": self.sounds.kept.pk,
            "fitting_part": self.build_part.pk,
            "fitting_wire": self.wire.pk,
            "hilts_hilt": self.build.hilt_id,
            "hilts_steps": self.build.hilt_id,
            "handover_past": self.build.hilt_id,
            "desk_view": View.objects.earliest("pk").pk,
            "proving_template_line": SheetLine.objects.earliest("pk").pk,
            "stores_supplier": self.bought.supplier.pk,
            "stores_claim": self.bought.claim.pk,
            "handover_film_part": self.film.pk,
        }
        is_hilt = name.startswith("visitor_hilt")
        link = self.hilt_link if is_hilt else making.link(self.order, self.now)
        return {
            "number": self.number(name),
            "arrival_id": arrivals.earliest("pk").pk,
            "film_id": (self.older_film if is_hilt else self.film).pk,
            "what": "play",
            "photo_id": self.as_built.pk if is_hilt else self.photo.pk,
            "blob_id": self.photo.blob_id,
            "side": 320,
            "size": "usual" if name.startswith("visitor_") else "full",
            "booklet_id": self.booklet.pk,
            "file_id": self.sounds.file.pk,
            "token": self.upload.token if name in BY_UPLOAD else making.token(link),
            "occasion": "sent",
            "mark": "none",
            "kind": "customers" if name == "importing_example" else "cell",
            "pk": own.get(name, 1),
        }

    def number(self, name: str) -> int | str:
        """The number in the address of a page: of a build, an order, a paper, a return."""
        if name.startswith("handover_return") and name != "handover_return_new":
            return self.returned.number
        if name.startswith(("desk_paper", "visitor_paper")):
            return self.paper.number
        of_one: dict[str, int | str] = {
            "bench_collect": self.to_collect.number,
            "handover_booklet": self.finished.number,
            "visitor_booklet": self.finished.number,
        }
        of_a_room: dict[str, int | str] = {
            "desk": self.order.number,
            "stores": self.bought.purchase.number,
            "proving": self.proven.number,
        }
        return of_one.get(name) or of_a_room.get(name.partition("_")[0], self.build.number)

    @property
    def question(self) -> int:
        """The question that Ines asked."""
        return int(Message.objects.filter(state=Post.RECEIVED).earliest("pk").pk)

    def addresses(self) -> Iterator[tuple[str, str]]:
        """Name and address of every page that can be looked at."""
        facts = {
            "customer": self.ines.pk,
            "build": self.build.number,
            "question": self.question,
            "part": self.bought.part.pk,
            "who": self.by.pk,
            "saturday": "2026-11-28",
            "line": self.bought.purchase.lines.earliest("pk").pk,
        }
        for name in PAGES.keys() - AWAY.keys():
            known, pattern = self.values(name), PAGES[name].pattern
            kwargs = {key: known.get(key, 1) for key in pattern.converters}
            address = reverse(name, kwargs=kwargs)
            for asked in ("", *ASKED.get(name, ())):
                yield name + asked, address + asked.format(**facts)


def look(client: Client, address: str) -> bool:
    """Look at a page, to its end; False where there is only a deed."""
    answer = client.get(address)
    if answer.status_code == 405:
        return False
    assert answer.status_code == 200, (address, answer.status_code)
    assert b">---------<" not in b"".join(answer), f"{address}: say what no choice means"
    return True


@pytest.fixture
def full_shop(owner: User, now: datetime, monkeypatch: pytest.MonkeyPatch) -> Shop:
    """A shop whose every page stands at the moment of the tests."""
    for module in list(sys.modules.values()):
        if getattr(module, "now", None) is clock.now and module is not clock:
            monkeypatch.setattr(module, "now", lambda: now)
    return Shop(owner, now)


def prove_owner(client: Client) -> None:
    """Let the person have given the password a moment ago: a file that is fetched wants it."""
    session = client.session
    session[PROVEN_AT] = clock.now().timestamp()
    session.save()


def readings(client: Client, shop: Shop) -> Iterator[tuple[str, str]]:
    """Pages that read while they are drawn, and what they read."""
    prove_owner(client)
    for name, address in shop.addresses():
        try:
            look(client, address)
        except ReadWhileDrawn as read:
            yield name, str(read)


def costs(client: Client, shop: Shop) -> dict[str, int]:
    """Page → how many queries it takes."""
    found = {}
    prove_owner(client)
    for name, address in shop.addresses():
        reset_queries()  # Django's log has an end, and a count past it is none
        with CaptureQueriesContext(connection) as asked:
            if look(client, address):
                found[name] = len(asked)
    return found


def test_every_page_costs_the_same_however_full_the_shop_is(
    owner_client: Client, full_shop: Shop
) -> None:
    full_shop.grow(*SIZES[0])
    costs(owner_client, full_shop)  # what is made at a first look is made now
    took = [costs(owner_client, full_shop)]
    for size in SIZES[1:]:
        full_shop.grow(*size)
        took.append(costs(owner_client, full_shop))
    assert len(took[0]) > 50
    counts = {name: [each[name] for each in took] for name in took[0]}
    assert {name: n for name, n in counts.items() if len(set(n)) > 1} == {}


@pytest.mark.usefixtures("database_shut_while_drawing")
def test_no_page_reads_the_database_while_it_is_drawn(
    owner_client: Client, full_shop: Shop
) -> None:
    full_shop.grow(10, 30)
    assert dict(readings(owner_client, full_shop)) == {}


@pytest.mark.usefixtures("database_shut_while_drawing")
@pytest.mark.parametrize("name", ["people_sign_in", "desk_forgot"])
def test_page_before_the_sign_in_is_drawn_from_what_was_read(stranger: Client, name: str) -> None:
    assert look(stranger, reverse(name))
