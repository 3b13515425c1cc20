"""Sends a numbered paper to its customer, with the private page's link."""

from datetime import datetime
from uuid import UUID

from django.utils.translation import gettext as _

from builds.progress.linking import order_link
from shop.files.actions import keep_document
from shop.orders.models import Invoice
from shop.orders.queries.printing import file_name, pdf_of
from shop.people.models import User
from shop.post.actions import Refused, queue_message
from shop.post.models import Message, Occasion
from shop.post.wording import Text

__all__ = ["Refused", "send_paper"]


def send_paper(paper: Invoice, text: Text, *, token: UUID, by: User, now: datetime) -> Message:
    """Queue a mail that the paper goes along with. The same token again sends nothing more.

    The PDF is made and kept first: no file work holds up other writers.

    :raises Refused: the customer has no mail address, or there is no text.
    """
    customer = paper.order.customer
    if not customer.email:
        raise Refused(_("%s has no mail address. Save the PDF and hand it over.") % customer.called)
    document = keep_document(pdf_of(paper), "application/pdf", now)
    return queue_message(
        key=f"paper:{paper.number}:{token}",
        occasion=Occasion.PAPER,
        about=f"order:{paper.order_id}",
        customer=customer,
        to=customer.email,
        subject=text.subject,
        body=text.body,
        link=order_link(paper.order, now),
        made_by=by,
        now=now,
        documents={file_name(paper): document},
    )
