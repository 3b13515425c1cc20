"""Makes the things of an order for a test: customer, order, build, photos with their pictures."""

from datetime import date, datetime
from io import BytesIO
from typing import Any
from uuid import uuid4

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image, ImageDraw

from builds.dispatch.actions import close_parcel
from builds.hilts.models import Hilt
from builds.intake.actions import add_photo, describe_photo
from builds.intake.models import Photo
from builds.progress.actions import book, hold
from builds.progress.linking import hilt_link
from builds.progress.models import Build, Tray
from builds.progress.states import HoldReason, Kind, Leaves, State, Turn
from shop.files.actions import keep
from shop.files.rendering import render
from shop.models import Customer, Item, Order, PrivateLink, User
from shop.orders.models import ItemKind
from shop.post import links
from shop.post.linking import link_for
from shop.post.models import Scope
from tests.settings import LINK_KEY

MONDAY = date(2026, 11, 30)


def customer(now: datetime, **fields: Any) -> Customer:
    """Ines, with a surname, a street and a mail address that must not be shown."""
    facts = {
        "called": "Ines",
        "full_name": "Ines Quillfeather",
        "email": "ines@example.com",
        "phone": "020 7946 0123",
        "address": "7 Saltmarsh Row\nNorthwick",
        "country": "GB",
    }
    return Customer.objects.create(**(facts | fields), since=now)


def order(of: Customer, now: datetime, number: str = "2026-031") -> Order:
    """An order without items."""
    return Order.objects.create(number=number, customer=of, placed_at=now, token=uuid4())


def build(
    of: Order,
    by: User,
    now: datetime,
    *,
    hilt: str = "Copperfen",
    state: str = State.BOOKED,
    leaves_by: str = Leaves.POST,
) -> Build:
    """A build of the order, standing in a state; past intake it has a tray of its number."""
    item = Item.objects.create(order=of, kind=ItemKind.JOB, wanted="full install")
    named = Hilt.objects.create(customer=of.customer, name=hilt, since=now)
    made = book(item, hilt=named, kind=Kind.FULL, leaves_by=leaves_by, by=by, now=now)
    made.state = state
    if state not in {State.BOOKED, State.INTAKE} and made.is_open:
        made.tray = Tray.objects.get_or_create(number=made.number)[0]
    made.save()
    return made


def drawing(colour: str = "#85929C", size: tuple[int, int] = (640, 480)) -> bytes:
    """A picture as a camera would send it."""
    picture = Image.new("RGB", size, "#E6E9EB")
    draw = ImageDraw.Draw(picture)
    draw.rectangle((80, 200, size[0] - 80, 280), fill=colour, outline="#12233A", width=4)
    out = BytesIO()
    picture.save(out, "JPEG")
    return out.getvalue()


def photo(of: Build, by: User, now: datetime, *, shared: bool, colour: str = "#85929C") -> Photo:
    """A photo of a build in the stage it is in, with its renditions made."""
    blob = keep(SimpleUploadedFile("p.jpg", drawing(colour), "image/jpeg"), now)
    render(blob.pk, now)
    kept = add_photo(blob, build=of, by=by, now=now)
    if shared:
        describe_photo(kept, view=None, caption="the joint", shared=True, by=by, now=now)
    return kept


def link(to: Order, now: datetime) -> PrivateLink:
    """The private link of an order."""
    return link_for(Scope.ORDER, f"order:{to.pk}", now)


def hilt_link_to(of: Build, now: datetime) -> PrivateLink:
    """The private link of a build's hilt."""
    assert of.hilt is not None
    return hilt_link(of.hilt, now)


def finished(build: Build, at: datetime, state: str = State.SENT) -> Build:
    """The build, ended with the work done."""
    build.state, build.state_since, build.tray = state, at, None
    build.started_at, build.started_by = None, None
    build.save()
    return build


def token(of: PrivateLink) -> str:
    """What stands in the address."""
    return links.token(of.id, of.version, LINK_KEY)


def packed(build: Build, by: User, now: datetime) -> None:
    """A closed parcel around the build, for Monday."""
    build.state = State.DISPATCH
    build.save()
    close_parcel([build], day=MONDAY, token=uuid4(), by=by, now=now)


def held(build: Build, by: User, now: datetime, turn: str = Turn.CUSTOMER) -> None:
    """A hold that stops the build now."""
    fields = {
        "reason": HoldReason.ANSWER,
        "turn": turn,
        "words": "May we heat the joint?",
        "before": "",
        "chase_on": MONDAY,
    }
    hold(build.pk, fields=fields, by=by, now=now)
