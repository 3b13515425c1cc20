"""The gallery's addresses: one page that shows the whole vocabulary, known to the tests alone."""

from datetime import UTC, date, datetime, timedelta
from typing import Any

from django import forms
from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.urls import path
from django.views.decorators.csrf import csrf_exempt

from shop.house.models import House
from shop.people.models import Role, User
from shop.web.access import public
from shop.web.widgets import Day, Hour, PhotosField

NOW = datetime(2026, 11, 25, 10, 40, tzinfo=UTC)
FLAGS: dict[date, list[tuple[str, str]]] = {
    date(2026, 11, 27): [("12", "ready"), ("03", "ready"), ("08", "danger")],
    date(2026, 11, 30): [("01", "ready"), ("05", ""), ("09", ""), ("02", "danger")],
    date(2026, 12, 4): [("14", ""), ("10", "")],
    date(2026, 12, 7): [("04", "late"), ("15", ""), ("16", "")],
    date(2026, 12, 11): [("07", "")],
    date(2026, 12, 14): [("11", ""), ("17", "")],
}


class Everything(forms.Form):
    """One field of each kind."""

    shop = forms.CharField(label="Hilt", help_text="What its owner calls it.")
    email = forms.EmailField(label="E-mail", required=False)
    kind = forms.ChoiceField(
        label="Kind of job",
        widget=forms.RadioSelect,
        choices=[("full", "full install"), ("repair", "repair"), ("blade", "blade only")],
    )
    came = forms.MultipleChoiceField(
        label="In the box",
        widget=forms.CheckboxSelectMultiple,
        required=False,
        choices=[("blade", "blade"), ("screws", "screws"), ("key", "key"), ("card", "card")],
    )
    carrier = forms.ChoiceField(label="Carrier", choices=[("", "choose"), ("p", "the post")])
    day = forms.DateField(label="Came on", widget=Day)
    hour = forms.TimeField(label="At", widget=Hour, required=False)
    note = forms.CharField(label="Condition", widget=forms.Textarea, required=False)
    photos = PhotosField(label="Photos", required=False)
    sure = forms.BooleanField(label="The cell is out of the hilt", help_text="Before any heat.")


def days() -> list[dict[str, Any]]:
    """Three weeks from a Wednesday, dispatch on Mondays and Fridays."""
    first = NOW.date()
    every = [first + timedelta(days=n) for n in range(23)]
    return [
        {
            "date": day,
            "is_dispatch": day.weekday() in (0, 4),
            "is_closed": day.weekday() > 4,
            "url": "/dispatch/" if day.weekday() in (0, 4) else "",
            "words": "Monday: 4 leave, 1 ready, 1 in danger" if day == date(2026, 11, 30) else "",
            "flags": [
                {"tray": tray, "label": f"tray {tray} {state}", "url": "/bench/", "state": state}
                for tray, state in FLAGS.get(day, [])
            ],
        }
        for day in every
    ]


def _context(request: HttpRequest) -> dict[str, Any]:
    form = Everything({"shop": "Heron", "kind": "full", "email": "not one"})
    return {
        "who": User(name="Oda", email="oda@larkhill.example", role=Role.OWNER),
        "house": House(name="Larkhill Works", set_up_at=NOW),
        "room": "bench",
        "days": days(),
        "now": NOW,
        "form": form,
        "page_obj": Paginator(range(50), 10).page(2),
    }


@public
def gallery(request: HttpRequest) -> HttpResponse:
    """Every part once."""
    if request.GET.get("said"):
        messages.success(request, "Kestrel pair is on to dispatch.")
        messages.warning(request, "The tag printer's address is not set.")
        messages.error(request, "Tray 04 is taken by Ninth Lantern since Monday.")
    return render(request, "gallery.html", _context(request))


@public
def visitor(request: HttpRequest) -> HttpResponse:
    """The customer's frame with its usual parts."""
    return render(request, "visitor_gallery.html", _context(request))


@public
@csrf_exempt
def photos(request: HttpRequest) -> HttpResponse:
    """Answers a photo as rooms do: kept, or refused with a sentence."""
    files = request.FILES.getlist("photos")
    if request.headers.get("X-Photo") != "one":
        return HttpResponse(f"{len(files)} kept", status=200)
    if any(str(file.name).endswith(".txt") for file in files):
        return JsonResponse({"ok": False, "why": "notes.txt is not a photo."}, status=422)
    if any(str(file.name).startswith("again") for file in files):
        return JsonResponse({"ok": True, "said": "again.jpg is here already."})
    return JsonResponse({"ok": True})


urlpatterns = [
    path("", gallery, name="bench_today"),
    path("intake/", gallery, name="bench_intake"),
    path("bench/", gallery, name="bench_bench"),
    path("dispatch/", gallery, name="bench_dispatch"),
    path("orders/", gallery, name="desk_orders"),
    path("messages/", gallery, name="desk_messages"),
    path("settings/", gallery, name="desk_settings"),
    path("find/", gallery, name="desk_find"),
    path("sign-out/", gallery, name="people_sign_out"),
    path("sign-in/", gallery, name="people_sign_in"),
    path("who/", gallery, name="people_take_over"),
    path("my-password/", gallery, name="people_my_password"),
    path("first/", gallery, name="people_first_setup"),
    path("my-password/", gallery, name="people_my_password"),
    path("visitor/", visitor),
    path("photos/", photos, name="gallery_photos"),
]
