"""Numbered papers: an invoice written and issued, taken back, given, sent. The owner's alone."""

from dataclasses import dataclass
from typing import Any
from uuid import uuid4

from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from builds.desk.actions.papers import Refused as NotSent
from builds.desk.actions.papers import send_paper
from builds.desk.forms.orders import OnceForm
from builds.desk.forms.papers import LINES, CreditForm, InvoiceForm, SendPaperForm, initial_of
from builds.desk.queries.orders import Sheet, order_sheet
from builds.desk.queries.papers import first_lines, paper, payment_of, peek, words_for
from shop.clock import now
from shop.house.queries import house
from shop.orders.actions.papers import Refused, credit, give_receipt, issue
from shop.orders.models import Invoice
from shop.orders.queries.invoicing import PaperLine
from shop.orders.queries.printing import file_name, pdf_of
from shop.post.queries import mail_goes_nowhere
from shop.post.wording import Text
from shop.web.access import owner_only, staff
from shop.web.partials import done, page, refused


@dataclass
class Editor:
    """The lines and the whole of an invoice, as they are typed."""

    lines: Any
    whole: InvoiceForm

    def is_valid(self) -> bool:
        """Whether all of it can be read; both are judged, so that both say what is amiss."""
        return all([self.lines.is_valid(), self.whole.is_valid()])

    def typed(self) -> list[PaperLine]:
        """Every line with something on it."""
        return [line for form in self.lines if (line := form.line())]


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def invoice_new(request: HttpRequest, number: str) -> HttpResponse:
    """Write an invoice: first what it comes to, then issued for good."""
    sheet = _sheet(number)
    editor = _editor(sheet, request.POST if request.method == "POST" else None)
    if request.method != "POST":
        lines, off = first_lines(sheet.order)
        return _invoice_page(request, sheet, editor, peek(lines, off, house()))
    if not editor.is_valid():
        return _invoice_page(request, sheet, editor, None, status=422)
    if "look" in request.POST:
        return _invoice_page(
            request, sheet, editor, peek(editor.typed(), editor.whole.off(), house())
        )
    return _issued(request, sheet, editor)


def _issued(request: HttpRequest, sheet: Sheet, editor: Editor) -> HttpResponse:
    fields = editor.whole.cleaned_data
    try:
        made = issue(
            sheet.order,
            editor.typed(),
            off=editor.whole.off(),
            reference=fields["reference"],
            token=fields["token"],
            by=staff(request),
            now=now(),
        )
    except Refused as refusal:
        editor.whole.add_error(None, str(refusal))
        return _invoice_page(request, sheet, editor, None, status=422)
    said = _("%s is issued.") % made.number
    return done(request, reverse("desk_paper", args=[made.number]), said)


@owner_only
@require_POST
def receipt(request: HttpRequest, number: str, pk: int) -> HttpResponse:
    """Give a receipt for money that came."""
    order = _sheet(number).order
    payment, once = payment_of(order, pk), OnceForm(request.POST)
    if payment is None:
        raise Http404
    back = reverse("desk_money", args=[number])
    if not once.is_valid():
        return refused(request, back, _("Nothing was done: try once more."))
    try:
        token = once.cleaned_data["token"]
        made = give_receipt(payment, token=token, by=staff(request), now=now())
    except Refused as refusal:
        return refused(request, back, str(refusal))
    return done(request, reverse("desk_paper", args=[made.number]))


@owner_only
def one(request: HttpRequest, number: str) -> HttpResponse:
    """A paper: what stands on it, and what can be done with it."""
    return _paper_page(request, _paper(number))


@owner_only
@require_safe
def paper_pdf(request: HttpRequest, number: str) -> HttpResponse:
    """The paper as PDF, made as it is asked for; the same bytes each time."""
    return as_pdf(_paper(number))


def as_pdf(found: Invoice) -> HttpResponse:
    """Answer with a paper."""
    answer = HttpResponse(pdf_of(found), content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="{file_name(found)}"'
    answer["Cache-Control"] = "private, no-cache"
    return answer


@owner_only
@require_POST
def paper_credit(request: HttpRequest, number: str) -> HttpResponse:
    """Take an invoice back by a credit note."""
    found, form = _paper(number), CreditForm(request.POST)
    if form.is_valid():
        try:
            made = credit(found, **form.cleaned_data, by=staff(request), now=now())
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            said = _("%(credit)s takes %(invoice)s back.")
            words = said % {"credit": made.number, "invoice": found.number}
            return done(request, reverse("desk_paper", args=[made.number]), words)
    return _paper_page(request, found, {"credit": form})


@owner_only
@require_POST
def paper_send(request: HttpRequest, number: str) -> HttpResponse:
    """Mail a paper to its customer."""
    found, form = _paper(number), SendPaperForm(request.POST)
    if form.is_valid():
        fields = form.cleaned_data
        text = Text(fields["subject"], fields["body"])
        try:
            send_paper(found, text, token=fields["token"], by=staff(request), now=now())
        except NotSent as refusal:
            form.add_error(None, str(refusal))
        else:
            said = _("%s is on its way.") % found.number
            return done(request, reverse("desk_money", args=[found.order.number]), said)
    return _paper_page(request, found, {"send": form})


def _sheet(number: str) -> Sheet:
    sheet = order_sheet(number)
    if sheet is None:
        raise Http404
    return sheet


def _paper(number: str) -> Invoice:
    found = paper(number)
    if found is None:
        raise Http404
    return found


def _editor(sheet: Sheet, data: Any) -> Editor:
    shop = house()
    lines, off = first_lines(sheet.order) if data is None else ([], None)
    each = {"currency": shop.currency, "tax_hundredths": shop.tax_hundredths}
    initial: dict[str, Any] = {"token": uuid4(), "reference": sheet.order.reference}
    if off:
        initial |= {"share": off.hundredths or None, "amount": off.minor or None}
    return Editor(
        LINES(data, prefix="line", initial=initial_of(lines), form_kwargs=each),
        InvoiceForm(data, initial=initial, currency=shop.currency),
    )


def _invoice_page(
    request: HttpRequest, sheet: Sheet, editor: Editor, sums: Any, status: int = 200
) -> HttpResponse:
    shown = {"room": "orders", "here": "orders", "sheet": sheet, "editor": editor, "sums": sums}
    return page(
        request,
        "desk/invoice.html",
        shown | {"currency": house().currency},
        parts={"sums": "desk/_invoice_sums.html"},
        status=status,
    )


def _paper_page(
    request: HttpRequest, found: Invoice, handed_in: dict[str, Any] | None = None
) -> HttpResponse:
    text = words_for(found, house())
    sent = {"token": uuid4(), "subject": text.subject, "body": text.body}
    forms = {
        "credit": CreditForm(initial={"token": uuid4()}),
        "send": SendPaperForm(initial=sent),
    }
    shown = {
        "room": "orders",
        "here": "orders",
        "paper": found,
        "credited_by": found.credited_by.first(),
        "customer": found.order.customer,
        "goes_nowhere": mail_goes_nowhere(),
        "forms": forms | (handed_in or {}),
        "open": set(handed_in or ()),
    }
    return page(request, "desk/paper.html", shown, status=422 if handed_in else 200)
