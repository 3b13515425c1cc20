"""What a customer does on the private page: asks."""

from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from shop.house.models import House
from shop.orders.models import Order
from shop.post.actions import queue_message, receive
from shop.post.models import Message, Occasion


@transaction.atomic
def ask(order: Order, words: str, *, once: UUID, shop: House, now: datetime) -> Message:
    """Put a question into the inbox and tell the shop's mailbox. The same ``once`` asks once."""
    about = f"order:{order.pk}"
    subject = _("Question about order %(number)s from %(who)s") % {
        "number": order.number,
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
