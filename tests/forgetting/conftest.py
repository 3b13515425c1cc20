"""A customer with something in every room, whose name stands wherever a name may stand."""

from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError
from django.db.models import CharField, TextField
from pytest_django import Settings

from builds.forgetting.queries.held import model_of, rows_of
from builds.forgetting.reach import HELD
from builds.handover.models import ReturnPhoto
from builds.hilts.models import Blade
from builds.intake.models import Arrival, Match, Photo
from builds.progress.models import Build
from builds.sounds.models import SoundFile, SoundSet
from shop import folder
from shop.append_only import maintenance
from shop.files.actions import keep
from shop.models import Attachment, Customer, House, Message, PrivateLink, Quote, User
from shop.orders.enquiries import note_enquiry
from shop.orders.models import Enquiry, EnquiryPhoto, Invoice
from tests.handover.making import announced
from tests.makers import answer, hand_over, make_bare_parcel, make_blob, make_film
from tests.visitor import making

NAME, CALLED = "Zebedee Marlinspike", "Zebedee"
STREET, MAIL, PHONE = "9 Quickthorn Steps", "zeb@example.org", "01632 960777"
MARKS = (CALLED, "Marlinspike", STREET, MAIL, PHONE)


@dataclass
class Known:
    """A customer of ours, and some of what is theirs."""

    customer: Customer
    build: Build
    link: PrivateLink
    photo: Photo


@pytest.fixture(autouse=True)
def here(monkeypatch: pytest.MonkeyPatch, settings: Settings, tmp_path: Any) -> Any:
    """A data folder that is each test's own."""
    data = tmp_path / "here"
    monkeypatch.setenv("HILTYARD_DATA", str(data))
    folder.prepare()
    options = {**settings.STORAGES["default"], "OPTIONS": {"location": data / "media"}}
    settings.STORAGES = {**settings.STORAGES, "default": options}
    return data


def _blob(now: datetime, colour: str) -> Any:
    return keep(SimpleUploadedFile("p.jpg", making.drawing(colour), "image/jpeg"), now)


@pytest.fixture
def known(owner: User, house: House, now: datetime) -> Known:
    who = making.customer(
        now, called=CALLED, full_name=NAME, address=STREET, email=MAIL, phone=PHONE
    )
    build = making.build(making.order(who, now), owner, now, hilt="Copperfen")
    photo = making.photo(build, owner, now, shared=True)
    _post(who, build, owner, now)
    _asked(who, build, owner, now)
    make_film(build, owner, now)
    hand_over(build, owner, now)
    _parcels(build, owner, now)
    making.finished(build, now)
    _returned(build, owner, now)
    _owned(who, owner, now)
    _papers(build, owner, now)
    _sign_everywhere(who)
    return Known(who, build, making.link(build.item.order, now), photo)


def _post(who: Customer, build: Build, owner: User, now: datetime) -> None:
    facts = {"made_at": now, "not_before": now, "subject": "s", "body": "b", "occasion": "free"}
    question = Message.objects.create(
        key="asks", message_id="a", customer=who, state="received", about=build.about, **facts
    )
    reply = Message.objects.create(
        key="reply",
        message_id="b",
        customer=who,
        state="sent",
        to=MAIL,
        answer_to=question,
        **facts,
    )
    Attachment.objects.create(message=reply, blob=make_blob(now))
    for key, about in (("to staff", build.about), ("morning", "house")):
        facts["body"] = f"{NAME} has heard nothing; {CALLED} waits"
        Message.objects.create(
            key=key, message_id=key, state="sent", to="shop@example.com", about=about, **facts
        )


def _asked(who: Customer, build: Build, owner: User, now: datetime) -> None:
    fields = {"customer": who, "wishes": "a blue one", "how": "chat"}
    enquiry = note_enquiry(fields, token=uuid4(), by=owner, now=now)
    EnquiryPhoto.objects.create(enquiry=enquiry, blob=_blob(now, "#112233"), at=now)
    answer(build, "heat", owner, now)


def _parcels(build: Build, owner: User, now: datetime) -> None:
    arrival = Arrival.objects.create(token=uuid4(), came_at=now, received_by=owner, box="sound")
    Match.objects.create(arrival=arrival, build=build, at=now, by=owner)
    Photo.objects.create(
        blob=_blob(now, "#445566"), arrival=arrival, stage="intake", taken_at=now, taken_by=owner
    )
    parcel = make_bare_parcel([build], owner, now)
    parcel.left_at, parcel.left_by = now, owner
    parcel.save()


def _returned(build: Build, owner: User, now: datetime) -> None:
    found = announced(build, now)
    ReturnPhoto.objects.create(announced=found, blob=_blob(now, "#778899"), at=now)
    found.ended_at, found.ended_because = now, "a flat battery"
    found.save()


def _owned(who: Customer, owner: User, now: datetime) -> None:
    Blade.objects.create(customer=who, name="the long one", since=now)
    mine = SoundSet.objects.create(
        token=uuid4(), name="deep hum", licence="one-buyer", customer=who,
        archive=make_blob(now, b"a zip"), added_at=now, added_by=owner,
    )  # fmt: skip
    first = SoundFile.objects.create(
        sound_set=mine, path="hum.wav", blob=make_blob(now, b"hum"), size=3, place=0
    )
    SoundFile.objects.create(
        sound_set=mine,
        path="hum2.wav",
        blob=make_blob(now, b"hm"),
        size=2,
        place=1,
        made_from=first,
    )


def _papers(build: Build, owner: User, now: datetime) -> None:
    Invoice.objects.create(
        token=uuid4(), paper="invoice", number="R-1", order=build.item.order, currency="GBP",
        figures={}, net_minor=0, tax_minor=0, gross_minor=0, seller="us", buyer="b",
        issued_on=now.date(), by=owner, at=now,
    )  # fmt: skip
    Quote.objects.create(
        token=uuid4(), order=build.item.order, revision=1, currency="GBP", text="t", made_at=now,
        made_by=owner, valid_until=now.date() + timedelta(days=30), prices="with-tax",
        rounding="ROUND_HALF_UP",
    )  # fmt: skip


def _sign_everywhere(who: Customer) -> None:
    """Put the name into every column in which the shop's rule expects words of a person.

    A rule of the database may want a column empty as things stand: that one stays empty.
    """
    for held in HELD:
        for name in (*held.goes, *held.later, *held.words):
            words = f"for {NAME}, {STREET}"[: _longest(held, name)]
            with suppress(IntegrityError), maintenance():
                rows_of(held, who.pk).update(**{name: words})


def _longest(held: Any, name: str) -> int | None:
    field = model_of(held)._meta.get_field(name)
    assert isinstance(field, CharField | TextField)
    return field.max_length


def asked_before(owner: User, now: datetime, *, contact: str, wishes: str) -> Enquiry:
    """An enquiry with a photo, by words to reach somebody whom nobody knew yet."""
    fields = {"called": CALLED, "contact": contact, "wishes": wishes}
    noted = note_enquiry(fields, token=uuid4(), by=owner, now=now)
    EnquiryPhoto.objects.create(enquiry=noted, blob=_blob(now, "teal"), at=now)
    return noted
