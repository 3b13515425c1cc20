"""Consents asked for one by one, and answered one by one. Silence is never a yes."""

from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from shop.history.actions import record
from shop.orders.actions.placing import record_answer
from shop.orders.models import Answer, AnswerKind, Asking, How, Item
from shop.orders.queries import newest_answers
from shop.orders.refusals import Overtaken, Refused
from shop.people.models import User

CONSENTS = (AnswerKind.HEAT, AnswerKind.DRILLING, AnswerKind.FINISH)


@transaction.atomic
def ask_consent(
    item: Item, kind: str, words: str, *, token: UUID, by: User, now: datetime
) -> Asking:
    """Ask a customer for one consent, in words that they read. The same token asks once.

    :raises Refused: it is asked already, or nothing is said.
    """
    item = Item.objects.select_for_update(of=("self",)).get(pk=item.pk)
    made = Asking.objects.filter(token=token).first()
    if made:
        return made
    if kind not in CONSENTS or not words.strip():
        raise Refused(_("Say what may happen: they can only agree to what they have read."))
    if item.askings.filter(kind=kind, ended_at=None).exists():
        raise Refused(_("That is asked already, and waits for the answer."))
    asked = Asking.objects.create(
        token=token, item=item, kind=kind, words=words.strip(), at=now, by=by
    )
    record("consent_asked", f"order:{item.order_id}", by, now, kind=kind, item=item.pk)
    return asked


@transaction.atomic
def answer_asking(asking_id: int, *, is_yes: bool, now: datetime) -> Answer:
    """Keep what a customer answered on the page, with the very words that were asked.

    The same answer twice is one.

    :raises Overtaken: it was taken back, or answered otherwise.
    """
    asked = _locked(asking_id)
    if asked.ended_at:
        newest = newest_answers([asked.item_id]).get((asked.item_id, asked.kind))
        if newest and newest.at == asked.ended_at and newest.is_yes == is_yes:
            return newest
        raise Overtaken(_("This question is closed already. Write to us if you meant otherwise."))
    said = _("Yes.") if is_yes else _("No.")
    return record_answer(
        asked.item, kind=asked.kind, is_yes=is_yes, text=f"{asked.words}\n\n{said}",
        how=How.PAGE, by=None, now=now,
    )  # fmt: skip


@transaction.atomic
def take_back_asking(asking_id: int, *, by: User, now: datetime) -> Asking:
    """Ask no more. Taken back twice is taken back once."""
    asked = _locked(asking_id)
    if asked.ended_at is None:
        asked.ended_at = now
        asked.save(update_fields=["ended_at"])
        facts = {"kind": asked.kind, "item": asked.item_id}
        record("consent_taken_back", f"order:{asked.item.order_id}", by, now, **facts)
    return asked


def _locked(asking_id: int) -> Asking:
    item_id = Asking.objects.values_list("item", flat=True).get(pk=asking_id)
    Item.objects.select_for_update(of=("self",)).get(pk=item_id)
    return Asking.objects.select_related("item").get(pk=asking_id)
