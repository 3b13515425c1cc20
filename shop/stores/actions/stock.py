"""The deeds of the stock ledger. Each locks the part's level, then writes row and level together.

The ledger is the history of stock: who, when, how much, what for and why stand in its rows, so
these deeds write no other. What a build's history shall say, the room of builds says.
"""

from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from shop.house.speech import speaking_to_the_shop
from shop.people.models import User
from shop.stores.models import Deed, DeliveryLine, Part, Reservation, StockLevel, StockRow
from shop.stores.queries.levels import amount, shortage, who_ended, who_moved
from shop.stores.refusals import Overtaken, Refused, Short

MOST = 10_000_000  # in one deed; ten kilometres of wire


@transaction.atomic
def receive(
    part: Part,
    quantity: int,
    *,
    token: UUID,
    by: User,
    now: datetime,
    cost_minor: int | None = None,
    delivery_line: DeliveryLine | None = None,
    reason: str = "",
) -> StockRow:
    """Put into stock what came. The same token twice is one row, here and in all these deeds."""
    level = _locked(part)
    done = _done(token, part, Deed.RECEIVED)
    if done:
        return done
    _check_quantity(quantity)
    row = StockRow(on_hand_change=quantity, cost_minor=cost_minor, delivery_line=delivery_line)
    return _write(row, level, Deed.RECEIVED, token, by, now, reason=reason)


@transaction.atomic
def take_back(line: DeliveryLine, *, token: UUID, by: User, now: datetime) -> StockRow:
    """Take out of stock what a delivery put there by mistake; never what is reserved.

    :raises Short: less than that is free.
    """
    part = line.line.part
    level = _locked(part)
    done = _done(token, part, Deed.RECEIVED)
    if done:
        return done
    if line.quantity > level.free:
        raise Short(shortage(part, level, line.quantity))
    row = StockRow(on_hand_change=-line.quantity, delivery_line=line, cost_minor=_cost_of(line))
    with speaking_to_the_shop():
        reason = _("logged wrongly")
    return _write(row, level, Deed.RECEIVED, token, by, now, reason=reason)


def _cost_of(line: DeliveryLine) -> int | None:
    came = StockRow.objects.filter(delivery_line=line).first()
    return came.cost_minor if came else None


@transaction.atomic
def reserve(
    part: Part, quantity: int, *, about: str, whose: str, token: UUID, by: User, now: datetime
) -> Reservation:
    """Set so much of a part aside for something.

    :param about: the key of what it is for, as ``build:142``; ``whose`` says it in words.
    :raises Short: less than that is free; says by whom and for what the rest is reserved.
    """
    level = _locked(part)
    done = _done(token, part, Deed.RESERVED)
    if done and done.reservation:
        return done.reservation
    _check_quantity(quantity)
    if quantity > level.free:
        raise Short(shortage(part, level, quantity))
    made = Reservation.objects.create(
        token=token, part=part, quantity=quantity, about=about, whose=whose, at=now, by=by
    )
    row = StockRow(reserved_change=quantity, reservation=made, about=about, whose=whose)
    _write(row, level, Deed.RESERVED, token, by, now)
    return made


@transaction.atomic
def release(
    reservation: Reservation, *, token: UUID, by: User, now: datetime, reason: str = ""
) -> StockRow:
    """Let go of what was reserved; it is free for others.

    :raises Overtaken: somebody has fitted or released it already.
    """
    row = StockRow(reserved_change=-reservation.quantity)
    return _end(reservation, row, Deed.RELEASED, token, by, now, reason)


@transaction.atomic
def fit(reservation: Reservation, *, token: UUID, by: User, now: datetime) -> StockRow:
    """Take what was reserved out of stock, into what it was reserved for.

    :raises Overtaken: somebody has fitted or released it already.
    """
    row = StockRow(on_hand_change=-reservation.quantity, reserved_change=-reservation.quantity)
    return _end(reservation, row, Deed.FITTED, token, by, now, "")


@transaction.atomic
def put_back(
    part: Part,
    quantity: int,
    *,
    about: str,
    whose: str,
    token: UUID,
    by: User,
    now: datetime,
    reason: str,
) -> StockRow:
    """Put into stock what was fitted and came out whole."""
    level = _locked(part)
    done = _done(token, part, Deed.RETURNED)
    if done:
        return done
    _check_quantity(quantity)
    row = StockRow(on_hand_change=quantity, about=about, whose=whose)
    return _write(row, level, Deed.RETURNED, token, by, now, reason=reason)


@transaction.atomic
def write_off(
    part: Part,
    quantity: int,
    *,
    reason: str,
    token: UUID,
    by: User,
    now: datetime,
    about: str = "",
    whose: str = "",
) -> StockRow:
    """Take out of stock what is broken, lost or used up; never what is reserved.

    :raises Short: less than that is free.
    """
    level = _locked(part)
    done = _done(token, part, Deed.WRITTEN_OFF)
    if done:
        return done
    _check_quantity(quantity)
    _check_reason(reason)
    if quantity > level.free:
        raise Short(shortage(part, level, quantity))
    row = StockRow(on_hand_change=-quantity, about=about, whose=whose)
    return _write(row, level, Deed.WRITTEN_OFF, token, by, now, reason=reason)


@transaction.atomic
def count(
    part: Part,
    on_hand: int,
    *,
    seen: int,
    token: UUID,
    by: User,
    now: datetime,
    reason: str = "",
) -> StockRow:
    """Set stock to what was counted on the shelf; a count that agrees is written down too.

    :param seen: what the page showed to the person who counted.
    :raises Overtaken: stock has moved since that page was opened.
    """
    level = _locked(part)
    done = _done(token, part, Deed.COUNTED)
    if done:
        return done
    _check_count(part, level, on_hand, seen)
    row = StockRow(on_hand_change=on_hand - level.on_hand)
    return _write(row, level, Deed.COUNTED, token, by, now, reason=reason)


def _locked(part: Part) -> StockLevel:
    level, _is_new = StockLevel.objects.select_for_update().get_or_create(part=part)
    return level


def _done(token: UUID, part: Part, deed: str) -> StockRow | None:
    """What a token has done already; None when it is new.

    :raises Refused: the token was spent on another deed, as by a page kept open too long.
    """
    row = StockRow.objects.filter(token=token).select_related("reservation").first()
    if row and (row.part_id, row.deed) != (part.pk, deed):
        raise Refused(_("This page is out of date. Open it anew and tap again."))
    return row


def _end(
    reservation: Reservation,
    row: StockRow,
    deed: str,
    token: UUID,
    by: User,
    now: datetime,
    reason: str,
) -> StockRow:
    level = _locked(reservation.part)
    done = _done(token, reservation.part, deed)
    if done:
        return done
    reservation.refresh_from_db(fields=["fitted_at", "released_at"])
    if reservation.fitted_at or reservation.released_at:
        raise Overtaken(who_ended(reservation))
    ended = "fitted_at" if deed == Deed.FITTED else "released_at"
    setattr(reservation, ended, now)
    reservation.save(update_fields=[ended])
    row.reservation, row.about, row.whose = reservation, reservation.about, reservation.whose
    return _write(row, level, deed, token, by, now, reason=reason)


def _write(
    row: StockRow,
    level: StockLevel,
    deed: str,
    token: UUID,
    by: User,
    now: datetime,
    *,
    reason: str = "",
) -> StockRow:
    level.on_hand += row.on_hand_change
    level.reserved += row.reserved_change
    level.save(update_fields=["on_hand", "reserved"])
    row.part_id, row.deed, row.reason = level.part_id, deed, reason.strip()
    row.token, row.by, row.at = token, by, now
    row.save(force_insert=True)
    return row


def _check_quantity(quantity: int) -> None:
    if not 1 <= quantity <= MOST:
        raise Refused(_("Type a number from 1 to 10 million."))


def _check_reason(reason: str) -> None:
    if not reason.strip():
        raise Refused(_("Say why."))


def _check_count(part: Part, level: StockLevel, on_hand: int, seen: int) -> None:
    if level.on_hand != seen:
        raise Overtaken(who_moved(part, level))
    if not 0 <= on_hand <= MOST:
        raise Refused(_("Type a number from 0 to 10 million."))
    if on_hand < level.reserved:
        raise Short(
            _("%(reserved)s are reserved for builds. Release what is missing there, then count.")
            % {"reserved": amount(part, level.reserved)}
        )
