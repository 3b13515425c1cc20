"""What a customer does on the private page: asks, and answers what the shop asked."""

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.utils.translation import gettext as _

from builds.handover.actions.returns import Facts, announce
from builds.handover.actions.telling import confirm
from builds.handover.models import Return
from builds.progress import quoting
from builds.progress.models import Build
from builds.sounds.actions.sets import Came, SetFacts, bring
from builds.sounds.models import SoundSet
from builds.sounds.states import Licence
from shop.files.actions import keep
from shop.house.models import House
from shop.house.speech import speaking_to_the_shop
from shop.orders.actions import answer_asking
from shop.orders.models import Answer, Asking, How, Order, Quote
from shop.orders.queries import name_of, open_quotes
from shop.post.actions import queue_message, receive
from shop.post.models import Message, Occasion


@transaction.atomic
@speaking_to_the_shop()
def ask(order: Order, words: str, *, once: UUID, shop: House, now: datetime) -> Message:
    """Put a question into the inbox and tell the shop's mailbox. The same ``once`` asks once."""
    about = f"order:{order.pk}"
    offered = open_quotes([order.pk]).get(order.pk)
    about_what = _("order %s") % order.number
    if offered and offered.sent_at:
        offered.order = order
        about_what = name_of(offered)
    subject = _("Question about %(what)s from %(who)s") % {
        "what": about_what,
        "who": order.customer.called,
    }
    key = f"{order.pk}:{once}"
    asked = receive(
        key=f"question:{key}",
        about=about,
        customer=order.customer,
        subject=subject,
        body=words,
        now=now,
    )
    if shop.email:
        queue_message(
            key=f"question-notice:{key}",
            occasion=Occasion.FREE,
            about=about,
            to=shop.email,
            subject=subject,
            body=_notice(order, words),
            now=now,
        )
    return asked


@transaction.atomic
def answer_quote(quote: Quote, *, is_yes: bool, words: str, shop: House, now: datetime) -> Quote:
    """Keep the answer to a quote and tell the shop's mailbox, without a figure.

    :raises shop.orders.actions.Refused: it cannot be answered so any more.
    """
    kept = quoting.answer(quote.pk, is_yes=is_yes, how=How.PAGE, words=words, by=None, now=now)
    with speaking_to_the_shop():
        said = _("%(who)s accepts: %(what)s") if is_yes else _("%(who)s declines: %(what)s")
        known = {"who": kept.order.customer.called, "what": name_of(kept)}
    _notify(f"quote-notice:{kept.pk}", kept.order, said % known, kept.answer_words, shop, now)
    return kept


@transaction.atomic
def answer_consent(asked: Asking, *, is_yes: bool, shop: House, now: datetime) -> Answer:
    """Keep the answer to one consent and tell the shop's mailbox.

    :raises shop.orders.actions.Refused: it is closed already.
    """
    kept = answer_asking(asked.pk, is_yes=is_yes, now=now)
    order = asked.item.order
    with speaking_to_the_shop():
        said = _("%(who)s says yes: %(what)s") if is_yes else _("%(who)s says no: %(what)s")
        known = {"who": order.customer.called, "what": asked.get_kind_display()}
    _notify(f"consent-notice:{asked.pk}", order, said % known, kept.text, shop, now)
    return kept


def send_sounds(
    order: Order, came: Sequence[Came], about: str, *, once: UUID, shop: House, now: datetime
) -> SoundSet:
    """Keep sound files as a set of this customer's own, and tell the shop what came.

    Not to be called inside a transaction: the bytes are kept first.

    :raises builds.sounds.refusals.Refused: they are not taken; the sentence says why.
    """
    customer = order.customer
    with speaking_to_the_shop():
        name = _("Sounds from %(who)s, %(order)s") % {"who": customer.called, "order": order.number}
    facts = SetFacts(name[:80], Licence.ONE_BUYER, customer, about)
    kept = bring(came, facts, token=once, by=None, now=now)
    with speaking_to_the_shop():
        said = _("%(who)s sent sound files: %(count)d") % {
            "who": customer.called, "count": kept.total,
        }  # fmt: skip
    _tell_sounds(order, kept, said, about, shop, now)
    return kept


@transaction.atomic
@speaking_to_the_shop()
def _tell_sounds(
    order: Order, kept: SoundSet, said: str, about: str, shop: House, now: datetime
) -> None:
    stands = _("Sound files came. They are kept as the set “%s”, for this customer alone.")
    stands %= kept.name
    receive(
        key=f"sounds:{kept.token}",
        about=f"order:{order.pk}",
        customer=order.customer,
        subject=said,
        body="\n\n".join(part for part in (stands, about) if part),
        now=now,
    )
    _notify(f"sounds-notice:{kept.token}", order, said, about, shop, now)


def announce_return(
    build: Build,
    facts: Facts,
    photos: Sequence[UploadedFile],
    *,
    once: UUID,
    shop: House,
    now: datetime,
) -> Return:
    """Note that a hilt is to come back, send its owner the number, and tell the shop.

    Not to be called inside a transaction: the bytes are kept first.

    :raises builds.handover.refusals.Refused: it cannot come back; the sentence says why.
    :raises shop.files.actions.Refused: a photo cannot be read.
    """
    kept = [keep(each, now) for each in photos]
    with transaction.atomic():
        made = announce(build, facts, token=once, by=None, now=now, photos=kept)
        confirm(made, shop=shop, now=now)
        if shop.email:
            _tell_of_return(made, shop, now)
    return made


@speaking_to_the_shop()
def _tell_of_return(made: Return, shop: House, now: datetime) -> None:
    hilt = made.build.hilt
    said = _("%(hilt)s is to come back: %(number)s") % {"hilt": hilt, "number": made}
    harmed = _("Its battery is damaged: call them. They were told not to post it.")
    parts = (said, harmed if made.is_harmed else "", made.words, _("It stands on Today."))
    queue_message(
        key=f"return-notice:{made.pk}",
        occasion=Occasion.FREE,
        about=made.build.about,
        to=shop.email,
        subject=said,
        body="\n\n".join(part for part in parts if part),
        now=now,
    )


@speaking_to_the_shop()
def _notify(key: str, order: Order, said: str, words: str, shop: House, now: datetime) -> None:
    if not shop.email:
        return
    stands = _("It stands on order %s.") % order.number
    queue_message(
        key=key,
        occasion=Occasion.FREE,
        about=f"order:{order.pk}",
        to=shop.email,
        subject=said,
        body="\n\n".join(part for part in (said, words, stands) if part),
        now=now,
    )


def was_asked(order: Order, once: UUID) -> bool:
    """Whether this very question is in the inbox already, as after a double tap."""
    return Message.objects.filter(key=f"question:{order.pk}:{once}").exists()


def _notice(order: Order, words: str) -> str:
    lines = [
        _("%s asks on the private page:") % order.customer.called,
        "",
        words,
        "",
        _("It stands in the inbox of Messages. A reply to this mail does not reach the customer."),
    ]
    if order.customer.email:
        lines.append(_("Write to %s.") % order.customer.email)
    return "\n".join(lines)
