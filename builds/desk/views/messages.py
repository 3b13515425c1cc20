"""What was said, to whom, and how it stands: the outbox and the inbox."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from builds.desk.queries.messages import TABS, Subject, messages_in, subjects, unanswered
from builds.progress.models import Build
from shop.clock import now
from shop.orders.models import Order
from shop.post.actions import Refused, try_again, withdraw
from shop.post.models import Message, Occasion, State
from shop.post.queries import counts, mail_goes_nowhere, open_questions
from shop.post.wording import with_link
from shop.web.access import staff
from shop.web.machine import lacks
from shop.web.paging import cut
from shop.web.partials import done, next_url, page, refused


@dataclass(frozen=True)
class Row:
    """A message as its row shows it."""

    message: Message
    text: str
    about: str
    about_url: str
    is_leaving: bool
    is_open: bool


def messages(request: HttpRequest) -> HttpResponse:
    """The messages of one tab, the newest first."""
    tab = request.GET.get("show", "")
    tab = tab if tab in TABS else "waiting"
    found = cut(request, messages_in(tab))
    known, moment = subjects(found.object_list), now()
    waiting = unanswered(found.object_list) if tab == "received" else set()
    rows = [
        Row(
            message=message,
            text=_text(message),
            **_about(known.get(message.about)),
            is_leaving=bool(message.leased_until and message.leased_until > moment),
            is_open=message.pk in waiting,
        )
        for message in found.object_list
    ]
    shown = {
        "room": "messages",
        "here": "messages",
        "tab": tab,
        "tabs": _tabs(tab),
        "rows": rows,
        "page_obj": found,
        "goes_nowhere": mail_goes_nowhere(),
        "lacks": lacks(moment),
        "this_page": request.get_full_path(),
    }
    return page(request, "desk/messages.html", shown, {"messages": "desk/_messages.html"})


@require_POST
def message_again(request: HttpRequest, pk: int) -> HttpResponse:
    """Send a message that failed once more."""
    message = get_object_or_404(Message, pk=pk)
    back = next_url(request, reverse("desk_messages"))
    try:
        try_again(message, staff(request), now())
    except Refused as refusal:
        return refused(request, back, str(refusal))
    return done(request, back, _("It is on its way again."))


@require_POST
def message_withdraw(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a message out of the outbox before it leaves."""
    message = get_object_or_404(Message, pk=pk)
    back = next_url(request, reverse("desk_messages"))
    try:
        withdraw(message, staff(request), now())
    except Refused as refusal:
        return refused(request, back, str(refusal))
    return done(request, back, _("Withdrawn: it does not leave."))


def _tabs(here: str) -> list[dict[str, object]]:
    standing = counts()
    return [
        {
            "code": code,
            "words": words,
            "here": code == here,
            # What wants somebody is counted: the rest only grows.
            "count": _count(code, standing, states),
        }
        for code, (words, states) in TABS.items()
    ]


def _count(code: str, standing: dict[str, int], states: tuple[State, ...]) -> int:
    if code == "received":
        return open_questions().count()
    return sum(standing[s] for s in states) if code in {"waiting", "failed"} else 0


def _text(message: Message) -> str:
    """What a message says, but for private links: nobody acts for a customer or a colleague."""
    if message.occasion == Occasion.PASSWORD:
        return _("[A link to set a new password; only its reader sees it.]")
    hidden = _("[the customer's private link]") if message.link_id else None
    return message.body if message.state == State.RECEIVED else with_link(message.body, hidden)


def _about(subject: Subject | None) -> dict[str, str]:
    if isinstance(subject, Build):
        name = f"{subject.hilt or subject.get_kind_display()} · {subject}"
        return {"about": name, "about_url": reverse("bench_sheet", args=[subject.number])}
    if isinstance(subject, Order):
        url = reverse("desk_order", args=[subject.number])
        return {"about": _("Order %s") % subject.number, "about_url": url}
    if subject is not None:
        url = reverse("desk_customer", args=[subject.pk])
        return {"about": subject.called, "about_url": url}
    return {"about": "", "about_url": ""}
