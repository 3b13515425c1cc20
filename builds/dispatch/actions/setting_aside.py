"""What the stores give to a parcel: its box and goods, set aside, taken as it leaves."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any
from uuid import uuid4, uuid5

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from builds.dispatch.models import PackedGoods, Parcel
from shop.people.models import User
from shop.stores.actions import stock
from shop.stores.models import Part, Reservation


def about_goods(goods: PackedGoods) -> str:
    """The key under which the stores know goods in a parcel."""
    return f"goods:{goods.pk}"


def set_aside(
    parcel: Parcel, part: Part, quantity: int, *, about: str, by: User, now: datetime
) -> None:
    """Set so much of a part aside. Part of a deed under the parcel's lock, which does it once.

    :raises shop.stores.refusals.Short: less than that is free.
    """
    whose = _("parcel %d") % parcel.pk
    stock.reserve(part, quantity, about=about, whose=whose, token=uuid4(), by=by, now=now)


def let_go(about: str, why: str, *, by: User, now: datetime) -> None:
    """Free what was set aside for something; nothing where nothing was."""
    for held in _held([about]):
        stock.release(held, token=uuid5(held.token, "let go"), by=by, now=now, reason=why)


def take_along(parcel: Parcel, *, by: User, now: datetime) -> None:
    """Take out of stock what was set aside: it left with its parcel."""
    for held in _held(_abouts(parcel)):
        stock.fit(held, token=uuid5(held.token, "left"), by=by, now=now)


def bring_back(parcel: Parcel, left_at: datetime, *, by: User, now: datetime) -> None:
    """Put what left by mistake into stock again, and set it aside anew."""
    left = Reservation.objects.filter(about__in=_abouts(parcel), fitted_at=left_at)
    for held in left.select_related("part").order_by("part", "pk"):
        facts: dict[str, Any] = {"about": held.about, "whose": held.whose, "by": by, "now": now}
        why = _("the parcel has not left after all")
        token = uuid5(held.token, "back")
        stock.put_back(held.part, held.quantity, token=token, reason=why, **facts)
        stock.reserve(held.part, held.quantity, token=uuid5(held.token, "anew"), **facts)


def let_all_go(parcel: Parcel, *, by: User, now: datetime) -> None:
    """Free all that is set aside for a parcel that is opened."""
    for about in _abouts(parcel):
        let_go(about, _("the parcel was opened"), by=by, now=now)


def _abouts(parcel: Parcel) -> list[str]:
    goods = PackedGoods.objects.filter(parcel=parcel, taken_out_at=None)
    return [parcel.about, *(about_goods(each) for each in goods)]


def _held(abouts: Iterable[str]) -> QuerySet[Reservation]:
    # In the order of the parts: two deeds wait for each other and never each for the other.
    held = Reservation.objects.filter(about__in=list(abouts), fitted_at=None, released_at=None)
    return held.select_related("part").order_by("part", "pk")
