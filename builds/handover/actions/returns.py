"""Returns: a hilt announced back, decided, made a build of, or come to nothing."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID, uuid5

from django.db import transaction
from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _

from builds.handover.models import Return, ReturnPhoto
from builds.handover.refusals import Refused
from builds.handover.states import CellNow, Covered, Pays
from builds.handover.words import VERDICTS
from builds.progress.actions import book, tie_blade
from builds.progress.linking import order_link
from builds.progress.models import Build
from builds.progress.queries import locked
from builds.progress.states import FINISHED, STAGES, Kind
from shop.files.models import Blob
from shop.history.actions import record
from shop.house.actions import next_number
from shop.house.speech import speaking_to_the_shop
from shop.orders.actions import add_item, change_order, place_order, record_answer
from shop.orders.models import Answer, AnswerKind, How, Item, ItemKind
from shop.people.models import User

__all__ = [
    "Facts", "Refused", "Verdict", "announce", "decide", "end_return", "make_build", "open_again",
    "seen_as",
]  # fmt: skip


@dataclass(frozen=True)
class Facts:
    """What somebody says of a hilt that is to come back."""

    words: str
    cell: str
    how: str = How.PAGE


@dataclass(frozen=True)
class Verdict:
    """What the shop decides about a return."""

    covered: str
    because: str
    pays: str


@transaction.atomic
def announce(
    build: Build,
    facts: Facts,
    *,
    token: UUID,
    by: User | None,
    now: datetime,
    photos: Iterable[Blob] = (),
) -> Return:
    """Note that a hilt is to come back, and give it a number. The same token is one return.

    :param by: who of the staff wrote it down; None: the customer did.
    :raises Refused: it has not left, is here, or is announced already.
    """
    build = locked(build.pk)
    made = Return.objects.filter(token=token).first()
    if made:
        return made
    _check(build, facts)
    made = Return.objects.create(
        token=token, number=next_number("returns"), build=build, announced_at=now,
        words=facts.words.strip(), how=facts.how, cell=facts.cell, noted_by=by,
    )  # fmt: skip
    for blob in photos:
        ReturnPhoto.objects.get_or_create(announced=made, blob=blob, defaults={"at": now})
    for about in (made.about, build.about):
        record("return_announced", about, by, now, number=str(made))
    return made


def _check(build: Build, facts: Facts) -> None:
    if build.state not in FINISHED:
        raise Refused(_("It has not left the shop finished, so it cannot come back."))
    if not facts.words.strip():
        raise Refused(_("Say in a few words what is wrong."))
    if facts.cell not in CellNow.values or facts.how not in How.values:
        raise Refused(_("Say how its battery is."))
    same = _same_thing(build)
    is_open = Return.objects.filter(build__in=same, ended_at=None, became=None).first()
    if is_open:
        raise Refused(_("It is announced already, under the number %s.") % is_open)
    here = same.filter(state__in=STAGES).first()
    if here:
        raise Refused(_("It is on the shop's books already: build %s is not finished.") % here)


def _same_thing(build: Build) -> QuerySet[Build]:
    """Every build of the hilt, or of the blade alone; at least this one, and what came of it."""
    if build.hilt_id:
        return Build.objects.filter(hilt=build.hilt_id)
    one = Q(pk=build.pk) | Q(came_from__build=build)
    if build.blade_id:
        one |= Q(hilt=None, blade=build.blade_id)
    return Build.objects.filter(one)


@transaction.atomic
def decide(return_id: int, verdict: Verdict, *, seen: str, by: User, now: datetime) -> Return:
    """Say whether the warranty covers it, why, and who pays the carriage. The same again is once.

    What has become a build follows: its kind, and that it is agreed where it costs nothing.

    :param seen: how it stood on the page, as ``seen_as`` says.
    :raises Refused: it came to nothing, somebody decided first, or something is missing.
    """
    found = _locked(return_id)
    if verdict == _verdict(found):
        return found
    if not by.is_owner:
        raise Refused(_("Only the owner decides about a return."))
    _check_verdict(found, verdict, seen)
    found.covered, found.because, found.pays = verdict.covered, verdict.because, verdict.pays
    found.decided_at, found.decided_by = now, by
    found.save(update_fields=["covered", "because", "pays", "decided_at", "decided_by"])
    facts = {"covered": found.covered, "pays": found.pays, "because": found.because}
    record("return_decided", found.about, by, now, **facts)
    if found.became:
        _follow(found, found.became, by, now)
    return found


def seen_as(found: Return) -> str:
    """What a form carries of the decision that it showed, to notice another tablet."""
    return found.decided_at.isoformat() if found.decided_at else ""


def _verdict(found: Return) -> Verdict:
    return Verdict(found.covered, found.because, found.pays)


def _check_verdict(found: Return, verdict: Verdict, seen: str) -> None:
    if found.ended_at:
        raise Refused(_("It came to nothing. Open it again first."))
    if found.became and not found.became.is_open:
        raise Refused(_("Build %s has ended; what was decided stays.") % found.became)
    if seen != seen_as(found):
        who = found.decided_by.name if found.decided_by else ""
        raise Refused(_("%s decided first. Look at it, then change it.") % who)
    if verdict.covered not in Covered.values or verdict.pays not in Pays.values:
        raise Refused(_("Say whether it is covered, and who pays the carriage."))
    if not verdict.because.strip():
        raise Refused(_("Write down why: the customer reads it."))


@transaction.atomic
def make_build(return_id: int, *, by: User, now: datetime) -> Build:
    """Book the work on the same hilt, on an order of its own. Made twice is made once.

    What costs nothing is agreed by that; anything else is agreed as every other job is.

    :raises Refused: it came to nothing.
    """
    found = _locked(return_id)
    if found.became:
        return found.became
    if found.ended_at:
        raise Refused(_("It came to nothing. Open it again first."))
    before = Build.objects.select_related("item__order__customer", "hilt", "blade").get(
        pk=found.build_id
    )
    owner = before.hilt.customer if before.hilt else before.item.order.customer
    with speaking_to_the_shop():
        note = _("Return %(number)s of build %(build)s") % {"number": found, "build": before}
    order = place_order(
        owner, token=uuid5(found.token, "order"), by=by, now=now,
        note=note, price_note=_price(found),
    )  # fmt: skip
    item = add_item(order, ItemKind.JOB, found.words, by, now)
    made = book(
        item, hilt=before.hilt, kind=_kind(found, before), leaves_by=before.leaves_by, by=by,
        now=now,
    )  # fmt: skip
    if before.hilt is None and before.blade and before.blade.ended_at is None:
        made = tie_blade(made.pk, before.blade, seen=None, by=by, now=now)
    found.became = made
    found.save(update_fields=["became"])
    record("return_became", found.about, by, now, build=str(made))
    record("came_from_return", made.about, by, now, number=str(found), build=str(before))
    _agree(found, item, by, now)
    order_link(order, now)
    return made


def _kind(found: Return, before: Build) -> str:
    if before.hilt is None:
        return Kind.BLADE
    return Kind.REPAIR if found.covered == Covered.NOT_COVERED else Kind.WARRANTY


@speaking_to_the_shop()
def _price(found: Return) -> str:
    return str(VERDICTS[found.covered]) if found.is_free else ""


def _follow(found: Return, made: Build, by: User, now: datetime) -> None:
    """Let the build that a return became have the kind that was decided."""
    made = locked(made.pk)
    kind = _kind(found, made)
    if made.kind != kind:
        made.kind = kind
        made.save(update_fields=["kind"])
        record("kind_changed", made.about, by, now, kind=kind)
    item = Item.objects.select_related("order").get(pk=made.item_id)
    change_order(item.order, {"price_note": _price(found)}, by, now)
    _agree(found, item, by, now)


def _agree(found: Return, item: Item, by: User, now: datetime) -> None:
    """Keep that work without charge is agreed, and that it is no longer, by the shop's own word."""
    newest = Answer.objects.filter(item=item, kind=AnswerKind.AGREED).order_by("at", "pk").last()
    is_agreed = bool(newest and newest.is_yes)
    ours = bool(newest and not newest.by_customer)
    if found.is_free == is_agreed or not (found.is_free or ours):
        return
    # The shop's word, never quoted as the customer's: what they complained of is no yes.
    said = {"number": found, "decision": VERDICTS[found.covered], "because": found.because}
    with speaking_to_the_shop():
        text = _("It follows from what we decided about %(number)s: %(decision)s %(because)s")
        text = text % said
    record_answer(
        item, kind=AnswerKind.AGREED, is_yes=found.is_free, text=text, how=How.PERSON, by=by,
        now=now, by_customer=False,
    )  # fmt: skip


@transaction.atomic
def end_return(return_id: int, why: str, *, by: User, now: datetime) -> Return:
    """Say that nothing comes of it, and why. Said twice is once.

    :raises Refused: it became a build, which ends by itself.
    """
    found = _locked(return_id)
    if found.ended_at:
        return found
    if found.became:
        raise Refused(_("It became build %s. End that one.") % found.became)
    if not why.strip():
        raise Refused(_("Write down in a few words why."))
    found.ended_at, found.ended_because = now, why.strip()[:200]
    found.save(update_fields=["ended_at", "ended_because"])
    record("return_ended", found.about, by, now, why=found.ended_because)
    return found


@transaction.atomic
def open_again(return_id: int, *, by: User, now: datetime) -> Return:
    """Take up a return that had come to nothing. Done twice is once.

    :raises Refused: the hilt is announced anew, or here.
    """
    found = _locked(return_id)
    if found.ended_at is None:
        return found
    _check(locked(found.build_id), Facts(found.words, found.cell, found.how))
    found.ended_at, found.ended_because = None, ""
    found.save(update_fields=["ended_at", "ended_because"])
    record("return_reopened", found.about, by, now)
    return found


def _locked(return_id: int) -> Return:
    """The return, under the lock of the build that it is of: announcing locks that one too."""
    locked(Return.objects.values_list("build", flat=True).get(pk=return_id))
    return Return.objects.select_related("build", "became", "decided_by").get(pk=return_id)
