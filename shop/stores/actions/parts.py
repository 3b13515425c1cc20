"""Writes parts down, and what is stated of them."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from shop.history.actions import record
from shop.history.queries import last_about, made_once
from shop.house.actions import next_number
from shop.house.models import House
from shop.house.speech import speaking_to_the_shop
from shop.people.models import User
from shop.stores.models import Part, Rating, Reservation, StockLevel
from shop.stores.refusals import Overtaken, Refused
from shop.stores.specs import problem, problems, ratings
from shop.stores.units import figure_shown


@transaction.atomic
def add_part(
    kind: str,
    fields: Mapping[str, Any],
    *,
    spec: Mapping[str, Any],
    stated: Mapping[str, float],
    source: str,
    token: UUID,
    by: User,
    now: datetime,
) -> Part:
    """Write a part down under the next number. The same token twice is one part.

    :param fields: its name, how it is counted, its supplier and the like.
    :param spec: what it is, by the names of its kind; ``stated`` its ratings, by name, and
        ``source`` who says so.
    """
    House.objects.select_for_update().filter(id=1).first()  # one at a time: a double tap sees it
    made = made_once(token)
    if made:
        return Part.objects.get(pk=made.partition(":")[2])
    _check(kind, spec)
    part = write_part(kind, fields, spec, now)
    for name, value in stated.items():
        _state(part, name, value, source, by, now)
    record("once", f"once:{token}", by, now, made=part.about)
    record("part_added", part.about, by, now, label=part.label)
    return part


def write_part(
    kind: str, fields: Mapping[str, Any], spec: Mapping[str, Any], now: datetime
) -> Part:
    """Write the row and its level. Part of a deed: the caller holds the transaction."""
    number = next_number("parts")
    part = Part.objects.create(number=number, kind=kind, spec=dict(spec), since=now, **fields)
    StockLevel.objects.create(part=part)
    return part


@transaction.atomic
def change_part(
    part_id: int,
    fields: Mapping[str, Any],
    *,
    spec: Mapping[str, Any],
    seen: int,
    by: User,
    now: datetime,
) -> Part:
    """Change what is written of a part; its kind and its ratings are not changed here.

    :param seen: the newest deed that the person had before them (``seen_of``).
    :raises Overtaken: somebody has changed the part since.
    """
    part = _locked(part_id)
    given = {**fields, "spec": dict(spec)}
    changed = {name: value for name, value in given.items() if getattr(part, name) != value}
    if not changed:
        return part
    _check_seen(part, seen)
    _check(part.kind, spec)
    if "counted" in changed and part.ledger.exists():
        raise Refused(_("Its stock is counted already; how it is counted stays as it is."))
    for name, value in changed.items():
        setattr(part, name, value)
    part.save()
    record("part_changed", part.about, by, now, fields=sorted(changed))
    return part


@transaction.atomic
def state_rating(
    part_id: int, quantity: str, value: float, source: str, *, by: User, now: datetime
) -> Rating:
    """Write down what somebody states of a part. The same said twice is kept once."""
    part = _locked(part_id)
    same = part.ratings.filter(
        quantity=quantity, value=value, source=source.strip(), withdrawn_at=None
    ).first()
    if same:
        return same
    rating = _state(part, quantity, value, source, by, now)
    record("rating_stated", part.about, by, now, **_said(rating))
    return rating


@transaction.atomic
def withdraw_rating(rating_id: int, *, by: User, now: datetime) -> Rating:
    """Use a wrong rating no more; it stays to be read. Withdrawn twice is withdrawn once."""
    rating = Rating.objects.select_for_update().select_related("part").get(pk=rating_id)
    if rating.withdrawn_at is None:
        rating.withdrawn_at = now
        rating.save(update_fields=["withdrawn_at"])
        record("rating_withdrawn", rating.part.about, by, now, **_said(rating))
    return rating


@transaction.atomic
def retire_part(part_id: int, *, by: User, now: datetime) -> Part:
    """Offer a part no more; what there is of it stays in the ledger.

    :raises Refused: some of it is still reserved.
    """
    part = _locked(part_id)
    if part.retired:
        return part
    waits = Reservation.objects.filter(part=part, fitted_at=None, released_at=None).first()
    if waits:
        raise Refused(_("Some of it is still reserved for %(whose)s.") % {"whose": waits.whose})
    return _retire(part, True, by, now)


@transaction.atomic
def bring_back(part_id: int, *, by: User, now: datetime) -> Part:
    """Offer a part again."""
    part = _locked(part_id)
    return _retire(part, False, by, now) if part.retired else part


def _retire(part: Part, retired: bool, by: User, now: datetime) -> Part:
    part.retired = retired
    part.save(update_fields=["retired"])
    record("part_retired" if retired else "part_back", part.about, by, now)
    return part


def _locked(part_id: int) -> Part:
    return Part.objects.select_for_update().get(pk=part_id)


def _check(kind: str, spec: Mapping[str, Any]) -> None:
    wrong = problems(kind, spec)
    if wrong:
        raise Refused(" ".join(f"{name}: {why}" for name, why in wrong.items()))


def _check_seen(part: Part, seen: int) -> None:
    last = last_about(part.about)
    if last and last.pk != seen:
        raise Overtaken(
            _(
                "%(who)s changed this part first, so nothing was changed. What you typed is still "
                "here; saved now, it takes the place of theirs."
            )
            % {"who": last.actor.name if last.actor else _("Somebody")}
        )


@speaking_to_the_shop()
def _said(rating: Rating) -> dict[str, str]:
    quantity = {each.name: each for each in ratings(rating.part.kind)}[rating.quantity]
    value = figure_shown(quantity, rating.value)
    return {"figure": rating.quantity, "value": value, "said_by": rating.source}


def _state(
    part: Part, name: str, value: float, source: str, by: User | None, now: datetime
) -> Rating:
    quantity = {each.name: each for each in ratings(part.kind)}.get(name)
    if quantity is None:
        raise Refused(_("This kind of part has no such figure."))
    why = problem(quantity, value) or ("" if value > 0 else _("Type a number above 0."))
    if why or not source.strip():
        raise Refused(why or _("Say who says so."))
    return Rating.objects.create(
        part=part, quantity=name, value=value, source=source.strip(), by=by, at=now
    )
