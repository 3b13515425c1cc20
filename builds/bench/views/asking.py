"""What the bench asks a customer: a change order, begun without a price, and single consents."""

from uuid import uuid4

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from builds.bench.forms.asking import BEGINS, ChangeForm, ConsentForm
from builds.bench.views.sheet import build_of
from builds.progress import quoting
from builds.progress.models import Build
from builds.teardown.queries import minutes_tried
from shop.clock import now
from shop.orders.actions import CONSENTS, Refused, take_back_asking
from shop.orders.models import AnswerKind, Asking
from shop.web.access import staff
from shop.web.partials import done, page


@require_http_methods(["GET", "HEAD", "POST"])
def change(request: HttpRequest, number: int) -> HttpResponse:
    """Begin a change order: what was found. The owner prices it and sends it."""
    build = _open(number)
    if request.method != "POST":
        kept = {"token": uuid4(), "minutes": minutes_tried(build) or None}
        return _change_page(request, build, ChangeForm(initial=kept))
    form = ChangeForm(request.POST)
    if not form.is_valid():
        return _change_page(request, build, form, 422)
    fields = form.cleaned_data
    try:
        draft = quoting.start_change(
            build, because=fields["because"], minutes=fields["minutes"], token=fields["token"],
            by=staff(request), now=now(),
        )  # fmt: skip
    except Refused as error:
        form.add_error(None, str(error))
        return _change_page(request, build, form, 422)
    if staff(request).is_owner:
        to = reverse("desk_quote", args=[build.item.order.number, draft.revision])
        return done(request, to, _("It is on hold. Price the change and send it."))
    return done(
        request, _sheet(build, "#holds"), _("It is on hold. The owner prices and sends it.")
    )


@require_http_methods(["GET", "HEAD", "POST"])
def consent(request: HttpRequest, number: int) -> HttpResponse:
    """Ask for one consent: heat, drilling, or loss of finish."""
    build = _open(number)
    if request.method != "POST":
        asked = request.GET.get("kind", "")
        kind = AnswerKind(asked) if asked in CONSENTS else AnswerKind.HEAT
        begun = {"token": uuid4(), "kind": kind.value, "words": BEGINS[kind]}
        return _consent_page(request, build, ConsentForm(initial=begun))
    form = ConsentForm(request.POST)
    if not form.is_valid():
        return _consent_page(request, build, form, 422)
    fields = form.cleaned_data
    try:
        mail = quoting.ask_consent(
            build, fields["kind"], fields["words"], token=fields["token"], by=staff(request),
            now=now(),
        )  # fmt: skip
    except Refused as error:
        form.add_error("words", str(error))
        return _consent_page(request, build, form, 422)
    said = _("Asked on the customer's page.")
    if mail is None:
        said = _("It stands on the customer's page. They have no mail address: tell them.")
    return done(request, _sheet(build, "#answers"), said)


@require_POST
def consent_back(request: HttpRequest, number: int, asking_id: int) -> HttpResponse:
    """Ask no more for a consent."""
    build = build_of(number)
    asked = get_object_or_404(Asking, pk=asking_id, item=build.item_id)
    take_back_asking(asked.pk, by=staff(request), now=now())
    return done(request, _sheet(build, "#answers"), _("It is asked no more."))


def _open(number: int) -> Build:
    build = build_of(number)
    if not build.is_open:
        raise Http404
    return build


def _sheet(build: Build, part: str) -> str:
    return reverse("bench_sheet", args=[build.number]) + part


def _change_page(
    request: HttpRequest, build: Build, form: ChangeForm, status: int = 200
) -> HttpResponse:
    shown = {"room": "bench", "build": build, "form": form}
    return page(request, "bench/change.html", shown, status=status)


def _consent_page(
    request: HttpRequest, build: Build, form: ConsentForm, status: int = 200
) -> HttpResponse:
    kinds = [(kind.value, kind.label) for kind in AnswerKind if kind in CONSENTS]
    shown = {"room": "bench", "build": build, "form": form, "kinds": kinds}
    return page(request, "bench/consent.html", shown, status=status)
