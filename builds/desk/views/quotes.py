"""Quotes and change orders: written, read as the customer reads them, sent, answered."""

from dataclasses import dataclass
from typing import Any, cast
from uuid import uuid4

from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from builds.desk.forms.orders import OnceForm
from builds.desk.forms.quotes import (
    LINES,
    Lines,
    PutOnForm,
    QuoteAnswerForm,
    QuoteTermsForm,
    line_initial,
    terms_initial,
)
from builds.desk.queries.enquiries import asked_for
from builds.desk.queries.orders import Sheet, order_sheet
from builds.desk.queries.quotes import (
    Peek,
    first_lines,
    job_of,
    kit_line,
    part_line,
    peek,
    read_as,
)
from builds.desk.queries.rush import rush_line, rush_of
from builds.progress import quoting
from shop.clock import day_in, now
from shop.house.queries import house
from shop.orders.actions import (
    LineFacts,
    Overtaken,
    Refused,
    draft_quote,
    quote_seen,
    save_draft,
    withdraw_quote,
)
from shop.orders.models import Quote, QuoteState
from shop.orders.queries import kits_to_quote, parts_to_quote, quotes, rule_of, shown
from shop.post.queries import mail_goes_nowhere
from shop.stores.models import Kit, Part
from shop.web.access import owner_only, staff
from shop.web.partials import done, page, refused

FRAME = {"room": "orders", "here": "orders"}
LONGEST = 20  # signs of a number that are looked at


@owner_only
@require_POST
def quote_begin(request: HttpRequest, number: str) -> HttpResponse:
    """Begin a quote, or a change order once one was accepted."""
    sheet, once = _sheet(number), OnceForm(request.POST)
    token = once.token_sent() or uuid4()
    try:
        draft = draft_quote(sheet.order, token=token, by=staff(request), now=now())
    except Refused as error:
        return refused(request, reverse("desk_order", args=[number]), str(error))
    return done(request, _at(draft))


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def quote(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    """One revision: a draft is written here, any other is read."""
    found = _found(number, revision)
    if found.state != QuoteState.DRAFT:
        if request.method == "POST":
            return refused(request, _at(found), _("It was sent meanwhile. Nothing was changed."))
        return _read(request, found)
    editor = _editor(request, found)
    if request.method != "POST":
        return _write(request, found, editor)
    if _is_peek(request):
        return _write(request, found, editor, sums=_peek(found, editor))
    return _saved(request, found, editor)


@owner_only
@require_safe
def quote_read(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    """A draft as its customer will read it, word for word, and the button that sends it."""
    found = _found(number, revision)
    if found.state != QuoteState.DRAFT:
        return done(request, _at(found))
    return _read(request, found)


@owner_only
@require_POST
def quote_send(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    """Send it: its words and figures are fixed, and the customer is told."""
    found = _found(number, revision)
    seen = request.POST.get("seen", "")[:LONGEST]
    try:
        mail = quoting.send(
            found.pk, seen=int(seen) if seen.isdecimal() else 0, by=staff(request), now=now()
        )
    except Refused as error:
        return refused(request, _at(found), str(error))
    if mail is None:
        said = _("It stands on the customer's page. They have no mail address: give them the link.")
        return done(request, _at(found), said)
    return done(request, _at(found), _("Sent. It stands on the customer's page."))


@owner_only
@require_POST
def quote_answer(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    """Keep an answer to it that was given to one of us."""
    found, form = _found(number, revision), QuoteAnswerForm(request.POST)
    if not form.is_valid():
        return _read(request, found, form)
    fields = form.cleaned_data
    try:
        quoting.answer(
            found.pk, is_yes=fields["said"] == "yes", how=fields["how"], words=fields["words"],
            by=staff(request), now=now(),
        )  # fmt: skip
    except Overtaken as error:
        return refused(request, _at(found), str(error))
    except Refused as error:
        form.add_error("said", str(error))
        return _read(request, found, form)
    return done(request, _at(found), _("Answer kept."))


@owner_only
@require_POST
def quote_withdraw(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    """Take it back."""
    found = _found(number, revision)
    try:
        withdraw_quote(found.pk, by=staff(request), now=now())
    except Refused as error:
        return refused(request, _at(found), str(error))
    said = _("Withdrawn: nobody can accept it any more.")
    return done(request, reverse("desk_order", args=[number]), said)


@owner_only
@require_POST
def quote_revise(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    """Withdraw it and write the next revision, beginning with its lines."""
    found = _found(number, revision)
    try:
        draft = quoting.revise(found.pk, by=staff(request), now=now())
    except Refused as error:
        return refused(request, _at(found), str(error))
    return done(request, _at(draft), _("The old one is withdrawn. Change this one and send it."))


@dataclass
class Editor:
    """The forms of a draft, and what can be put on it."""

    sheet: Sheet
    lines: Lines
    terms: QuoteTermsForm
    put_on: PutOnForm
    kits: dict[int, Kit]
    parts: dict[int, Part]

    def is_valid(self) -> bool:
        """Whether all is typed well; each is asked, so that every error is shown at once."""
        return sum(not form.is_valid() for form in (self.lines, self.terms, self.put_on)) == 0

    def facts(self) -> list[LineFacts]:
        """The lines, as the action takes them."""
        return self.lines.facts(self.parts, self.kits)


def _editor(request: HttpRequest, found: Quote, spare_data: Any = None) -> Editor:
    data = request.POST if request.method == "POST" else spare_data
    shop, sheet = house(), _sheet(found.order.number)
    kits = {kit.pk: kit for kit in kits_to_quote()}
    parts = {part.pk: part for part in parts_to_quote()}
    known = {
        "currency": found.currency,
        "tax_hundredths": shop.tax_hundredths,
        "items": sheet.items,
    }
    kept = [line_initial(line) for line in found.lines.all()]
    initial = kept or first_lines(found, sheet, shop)
    lines = LINES(data, initial=initial, form_kwargs=known, prefix="line")
    facts = terms_initial(found, quote_seen(found), rule_of(found, shop))
    return Editor(
        sheet=sheet,
        lines=cast(Lines, lines),
        terms=QuoteTermsForm(found, data, initial=facts),
        put_on=PutOnForm(kits.values(), parts.values(), data),
        kits=kits,
        parts=parts,
    )


def _saved(request: HttpRequest, found: Quote, editor: Editor) -> HttpResponse:
    if not editor.is_valid():
        return _write(request, found, editor, status=422)
    more, said = (_rushed if "rush" in request.POST else _put_on)(found, editor)
    try:
        save_draft(
            found.pk, [*editor.facts(), *more], editor.terms.terms(),
            seen=editor.terms.cleaned_data["seen"], by=staff(request), now=now(),
        )  # fmt: skip
    except Refused as error:
        editor.terms.add_error(None, str(error))
        return _write(request, found, editor, status=422)
    if "read" in request.POST and not more:
        return done(request, reverse("desk_quote_read", args=[found.order.number, found.revision]))
    return done(request, _at(found), said or _("Saved."))


def _put_on(found: Quote, editor: Editor) -> tuple[list[LineFacts], str]:
    shop, asked = house(), editor.put_on.cleaned_data
    kit, part = asked.get("kit_on") or "", asked.get("part_on") or ""
    more: list[LineFacts] = []
    said = ""
    if kit:
        line, unpriced = kit_line(editor.kits[int(kit)], found, editor.sheet, shop)
        more.append(line)
        if unpriced:
            said = _("Parts of the kit without a price, not counted: %s") % ", ".join(unpriced)
    if part:
        more.append(part_line(editor.parts[int(part)], editor.sheet, shop))
    return more, said


def _rushed(found: Quote, editor: Editor) -> tuple[list[LineFacts], str]:
    """The rush fee as a line, from the hours as they are typed."""
    sheet, lines = editor.sheet, editor.facts()
    line = rush_line(found, lines, sheet, house(), job_of(sheet))
    if line is None:
        return [], _("No rush fee was put on: it is on already, or comes to nothing.")
    return [line], _("The rush fee is on.")


def _is_peek(request: HttpRequest) -> bool:
    htmx = getattr(request, "htmx", None)
    return bool(htmx) and htmx.target == "quote-total"  # type: ignore[union-attr]


def _peek(found: Quote, editor: Editor) -> Peek:
    return (
        peek(editor.facts(), editor.terms.terms(), found, house()) if editor.is_valid() else Peek()
    )


def _write(
    request: HttpRequest,
    found: Quote,
    editor: Editor,
    *,
    sums: Peek | None = None,
    status: int = 200,
) -> HttpResponse:
    context = FRAME | {
        "quote": found,
        "sheet": editor.sheet,
        "editor": editor,
        "asked": asked_for(found.order),
        "seen_shown": shown(found, day_in(house().zone, now())),
        "rush": rush_of(found, list(found.lines.all()), editor.sheet, house(), now()),
        "sums": sums or Peek.of(found),
    }
    return page(
        request, "desk/quote.html", context, parts={"quote-total": "desk/_quote_total.html"},
        status=status,
    )  # fmt: skip


def _read(
    request: HttpRequest, found: Quote, answer: QuoteAnswerForm | None = None
) -> HttpResponse:
    shop, moment = house(), now()
    today = day_in(shop.zone, moment)
    context = FRAME | {
        "quote": found,
        "shown": shown(found, today),
        "words": found.text or read_as(found, shop, today),
        "seen": quote_seen(found),
        "answer": answer or QuoteAnswerForm(),
        "answer_open": answer is not None,
        "goes_nowhere": mail_goes_nowhere(),
    }
    return page(request, "desk/quote_read.html", context, status=422 if answer else 200)


def _sheet(number: str) -> Sheet:
    sheet = order_sheet(number)
    if sheet is None:
        raise Http404
    return sheet


def _found(number: str, revision: int) -> Quote:
    found = quotes().filter(order__number=number, revision=revision).first()
    if found is None:
        raise Http404
    return found


def _at(found: Quote) -> str:
    return reverse("desk_quote", args=[found.order.number, found.revision])
