"""Answering what customers asked, and noting what was said elsewhere."""

from typing import Any
from uuid import uuid4

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from builds.desk.actions import messages as deeds
from builds.desk.forms.messages import AnswerForm, SaidForm
from builds.desk.queries.messages import answer_text, said_about
from shop.clock import now
from shop.files.actions import Refused as NoPicture
from shop.people.models import Customer
from shop.post.actions import Refused, settle
from shop.post.models import Message, State
from shop.post.queries import mail_goes_nowhere
from shop.post.wording import Text
from shop.web.access import staff
from shop.web.partials import done, next_url, page


@require_http_methods(["GET", "HEAD", "POST"])
def answer(request: HttpRequest, pk: int) -> HttpResponse:
    """Answer a customer's question by mail, the question quoted."""
    question = _question(pk)
    text = answer_text(question, request.house)  # type: ignore[attr-defined]
    initial = {"token": uuid4(), "subject": text.subject, "body": text.body}
    form = AnswerForm(request.POST or None, initial=initial)
    if form.is_valid() and form.cleaned_data["body"].split() == text.body.split():
        form.add_error("body", _("There is no answer in it yet: write yours between the lines."))
    if form.is_valid() and _sent(request, question, form):
        return done(request, _inbox(), _("Your answer is on its way."))
    shown = {
        "room": "messages",
        "here": "messages",
        "question": question,
        "form": form,
        "goes_nowhere": mail_goes_nowhere(),
    }
    return page(request, "desk/answer.html", shown, status=422 if form.errors else 200)


def _sent(request: HttpRequest, question: Message, form: AnswerForm) -> bool:
    fields = form.cleaned_data
    text = Text(fields["subject"], fields["body"])
    try:
        deeds.answer(question, text, token=fields["token"], by=staff(request), now=now())
    except Refused as refusal:
        form.add_error(None, str(refusal))
        return False
    return True


@require_POST
def settle_question(request: HttpRequest, pk: int) -> HttpResponse:
    """Say that a question needs no answer."""
    settle(_question(pk), staff(request), now())
    return done(request, next_url(request, _inbox()), _("Put aside: it needs no answer."))


@require_http_methods(["GET", "HEAD", "POST"])
def said(request: HttpRequest) -> HttpResponse:
    """Note what was said by telephone, in a chat, by mail or in person, then or earlier."""
    question = _asked(request)
    customer_pk = question.customer_id if question else _number(request, "customer")
    form = SaidForm(
        said_about(customer_pk),
        request.POST or None,
        request.FILES or None,
        initial={
            "token": uuid4(),
            "said_at": now(),
            "about": question.about if question else request.GET.get("about", ""),
        },
    )
    if form.is_valid() and _noted(request, question, form):
        customer = deeds.customer_of(form.cleaned_data["about"])
        to = reverse("desk_customer", args=[customer.pk])
        return done(request, next_url(request, to), _("Noted."))
    shown = {
        "room": "messages",
        "here": "messages",
        "form": form,
        "question": question,
        "customer": Customer.objects.filter(pk=customer_pk).first() if customer_pk else None,
    }
    return page(request, "desk/said.html", shown, status=422 if form.errors else 200)


def _noted(request: HttpRequest, question: Message | None, form: SaidForm) -> bool:
    fields: dict[str, Any] = dict(form.cleaned_data)
    about = fields.pop("about")
    try:
        deeds.note_said(
            about,
            **fields,
            how_words=form.how_words,
            question=question,
            by=staff(request),
            now=now(),
        )
    except NoPicture as refusal:
        form.add_error("screenshot", str(refusal))
    except Refused as refusal:
        form.add_error("said_at", str(refusal))
    return not form.errors


def _question(pk: int) -> Message:
    return get_object_or_404(
        Message.objects.select_related("customer"), pk=pk, state=State.RECEIVED
    )


def _asked(request: HttpRequest) -> Message | None:
    pk = _number(request, "question")
    return _question(pk) if pk else None


def _number(request: HttpRequest, name: str) -> int | None:
    typed = request.GET.get(name, "")
    return int(typed) if typed.isascii() and typed.isdecimal() and len(typed) < 10 else None


def _inbox() -> str:
    return reverse("desk_messages") + "?show=received"
