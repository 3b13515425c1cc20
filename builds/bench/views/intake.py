"""Intake: a parcel is on the doormat."""

from uuid import uuid4

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.bench.actions.intake import correct, log_arrival, tie
from builds.bench.forms import intake as forms
from builds.bench.forms.sheet import CellForm, UploadForm
from builds.bench.queries.intake import arrival_of, harmed, overview
from builds.intake import actions as intake
from builds.intake.models import Arrival, Belonging
from builds.progress.actions import Refused as MoveRefused
from builds.progress.models import Build
from builds.progress.queries import builds
from shop.clock import now
from shop.diary.queries import calendar
from shop.web.access import staff
from shop.web.partials import done, page, refused

LONGEST = 20  # signs of a build's number that are looked at
PART_NAMES = ("lead", "match", "photos", "belongings", "cell")
PARTS = {name: f"bench/intake/_{name}.html" for name in PART_NAMES}


@require_safe
def overview_page(request: HttpRequest) -> HttpResponse:
    """What came and has no build, what is expected, and what came lately."""
    diary = calendar(request.house)  # type: ignore[attr-defined]
    context = {"room": "intake", **overview(diary, now())}
    return page(request, "bench/intake.html", context)


def new(request: HttpRequest) -> HttpResponse:
    """Log a parcel that came."""
    if request.method == "POST":
        form = forms.ArrivalForm(request.POST)
        if form.is_valid():
            try:
                arrival, said = log_arrival(
                    form.facts,
                    token=form.cleaned_data["token"],
                    build=form.cleaned_data["build"],
                    by=staff(request),
                    now=now(),
                )
            except (intake.Refused, MoveRefused) as error:
                form.add_error("build", str(error))
            else:
                return done(request, reverse("bench_arrival", args=[arrival.pk]), said)
        return _new_page(request, form, form.cleaned_data.get("build"), 422)
    build = _chosen(request)
    form = forms.ArrivalForm(initial={"token": uuid4(), "build": build, "box": "sound"})
    return _new_page(request, form, build)


def _new_page(
    request: HttpRequest, form: forms.ArrivalForm, build: Build | None, status: int = 200
) -> HttpResponse:
    shown = {"room": "intake", "form": form, "harmed": harmed([build] if build else [])}
    return page(request, "bench/arrival_new.html", shown, status=status)


@require_safe
def arrival(request: HttpRequest, arrival_id: int) -> HttpResponse:
    """One parcel: whose it is, its photos, what was in it, the cell."""
    found = parcel_of(arrival_id)
    return _show(request, found)


def parcel_of(arrival_id: int) -> Arrival:
    """The parcel, or 404."""
    return get_object_or_404(
        Arrival.objects.select_related("received_by", "went_by"), pk=arrival_id
    )


def _show(
    request: HttpRequest, found: Arrival, bound: dict[str, object] | None = None, status: int = 200
) -> HttpResponse:
    diary = calendar(request.house)  # type: ignore[attr-defined]
    fresh = forms.MatchForm(initial={"build": _chosen(request)})
    context = {
        "room": "intake",
        **arrival_of(found, diary, now()),
        "match_choices": fresh.choices(),
        "forms": {
            "match": fresh,
            "upload": UploadForm(),
            "belonging": forms.BelongingForm(),
            "cell": CellForm(),
            "box": forms.BoxForm(initial={"place": found.place_id}),
            "went": forms.WentForm(),
            **(bound or {}),
        },
        "usual": forms.USUAL,
        "token": uuid4(),
    }
    return page(request, "bench/arrival.html", context, PARTS, status, {"lead": PARTS["lead"]})


def _chosen(request: HttpRequest) -> Build | None:
    """The build that the page before this one has in mind: of an order begun for the parcel."""
    number = request.GET.get("build", "")[:LONGEST]
    return builds().filter(number=int(number)).first() if number.isdecimal() else None


@require_POST
def match(request: HttpRequest, arrival_id: int) -> HttpResponse:
    """Say whose hilt was in the parcel, or correct it."""
    found = parcel_of(arrival_id)
    form = forms.MatchForm(request.POST)
    if not form.is_valid():
        return _show(request, found, {"match": form}, 422)
    right, wrong = form.cleaned_data["build"], form.cleaned_data["wrong"]
    back = reverse("bench_arrival", args=[arrival_id])
    try:
        if wrong:
            said = correct(found, wrong, right, by=staff(request), now=now())
        else:
            said = tie(found, right, by=staff(request), now=now())
    except (intake.Refused, MoveRefused) as error:
        return refused(request, back, str(error))
    return done(request, back, said)


@require_POST
def unmatch(request: HttpRequest, arrival_id: int, number: int) -> HttpResponse:
    """Say that the parcel did not hold this build's hilt after all."""
    found = parcel_of(arrival_id)
    build = get_object_or_404(Build, number=number)
    back = reverse("bench_arrival", args=[arrival_id])
    try:
        intake.unmatch(found, build, staff(request), now())
    except intake.Refused as error:
        return refused(request, back, str(error))
    return done(request, back, _("It is nobody's again."))


@require_POST
def belonging(request: HttpRequest, arrival_id: int) -> HttpResponse:
    """Write down something else that was in the box, or that there was nothing."""
    found = parcel_of(arrival_id)
    back = reverse("bench_arrival", args=[arrival_id]) + "#belongings"
    if "nothing" in request.POST:
        try:
            intake.nothing_else(found, staff(request), now())
        except intake.Refused as error:
            return refused(request, back, str(error))
        return done(request, back)
    form = forms.BelongingForm(request.POST)
    if not form.is_valid():
        return _show(request, found, {"belonging": form}, 422)
    things = [(form.cleaned_data["what"], form.cleaned_data["quantity"])]
    intake.add_belongings(found, things, staff(request), now(), token=form.tap)
    return done(request, back)


@require_POST
def less(request: HttpRequest, arrival_id: int, belonging_id: int) -> HttpResponse:
    """Take back one that was tapped by mistake."""
    back = reverse("bench_arrival", args=[arrival_id]) + "#belongings"
    thing = Belonging.objects.filter(pk=belonging_id, arrival=arrival_id).first()
    try:
        if thing:
            intake.count_down(thing.pk, staff(request), now())
    except intake.Refused as error:
        return refused(request, back, str(error))
    return done(request, back)


@require_POST
def claim(request: HttpRequest, arrival_id: int, belonging_id: int) -> HttpResponse:
    """Say whose a belonging is, where several hilts came in one box."""
    thing = get_object_or_404(Belonging, pk=belonging_id, arrival=arrival_id)
    back = reverse("bench_arrival", args=[arrival_id]) + "#belongings"
    form = forms.ClaimForm(request.POST)
    if not form.is_valid():
        return refused(request, back, _("That page was out of date. Here is how things stand."))
    try:
        intake.claim_belonging(thing, form.cleaned_data["build"], staff(request), now())
    except intake.Refused as error:
        return refused(request, back, str(error))
    return done(request, back)


@require_POST
def cell(request: HttpRequest, arrival_id: int) -> HttpResponse:
    """Write down a look at the cell of a parcel that nobody has placed yet."""
    found = parcel_of(arrival_id)
    form = CellForm(request.POST)
    if not form.is_valid():
        return _show(request, found, {"cell": form}, 422)
    try:
        intake.check_cell(
            build=None,
            arrival=found,
            result=form.cleaned_data["result"],
            millivolts=form.millivolts,
            note=form.cleaned_data["note"],
            by=staff(request),
            now=now(),
        )
    except intake.Refused as error:
        form.add_error(None, str(error))
        return _show(request, found, {"cell": form}, 422)
    return done(request, reverse("bench_arrival", args=[arrival_id]) + "#cell")


@require_POST
def box(request: HttpRequest, arrival_id: int) -> HttpResponse:
    """Say where a box stands that nobody has matched."""
    found = get_object_or_404(Arrival, pk=arrival_id)
    form = forms.BoxForm(request.POST)
    if form.is_valid():
        try:
            intake.put_box(found, form.cleaned_data["place"], staff(request), now())
        except intake.Refused as error:
            return refused(request, reverse("bench_arrival", args=[arrival_id]), str(error))
        back = reverse("bench_arrival", args=[arrival_id]) + "#where"
        return done(request, back, _("Its place is kept."))
    return _show(request, found, {"box": form}, 422)


@require_POST
def let_go(request: HttpRequest, arrival_id: int) -> HttpResponse:
    """Say what became of a parcel that is no build's."""
    found = parcel_of(arrival_id)
    form = forms.WentForm(request.POST)
    if not form.is_valid():
        return _show(request, found, {"went": form}, 422)
    facts = form.cleaned_data
    try:
        intake.let_go(found.pk, facts["went"], facts["words"], staff(request), now())
    except intake.Refused as error:
        return refused(request, reverse("bench_arrival", args=[arrival_id]), str(error))
    return done(request, reverse("bench_arrival", args=[arrival_id]), _("It waits no more."))


@require_POST
def take_up(request: HttpRequest, arrival_id: int) -> HttpResponse:
    """Take back what was said of a parcel."""
    found = get_object_or_404(Arrival, pk=arrival_id)
    intake.take_up(found.pk, staff(request), now())
    back = reverse("bench_arrival", args=[arrival_id])
    return done(request, back, _("It waits for its build again."))
