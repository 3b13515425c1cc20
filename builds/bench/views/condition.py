"""How a hilt looks: notes on its sheet, and notes at a point tapped on a photo."""

from typing import Any

from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from builds.bench.forms.condition import ConditionForm, MarkForm
from builds.bench.queries.condition import condition_of
from builds.bench.queries.pictures import pictures_of
from builds.bench.views.sheet import build_of, save
from builds.intake import actions as intake
from builds.intake.models import Photo
from builds.intake.queries import point
from builds.progress.models import Build
from shop.clock import now
from shop.web.access import staff
from shop.web.partials import done, page

# Boxes that a photo is fitted into, by the name of its input: for a phone, a tablet, a desk. The
# browser tells a tapped point in steps of the screen, so the size on the screen must be known.
BOXES = {"phone": (296, 400), "tablet": (640, 600), "desk": (720, 640)}


@require_POST
def note(request: HttpRequest, number: int) -> HttpResponse:
    """Write down how a section looks."""
    build = build_of(number)

    def deed(values: dict[str, Any]) -> None:
        intake.note_condition(build, **values, by=staff(request), now=now())

    form = ConditionForm(request.POST)
    return save(request, build, "condition", form, deed, "condition", _("The note is kept."))


def mark(request: HttpRequest, number: int, photo_id: int) -> HttpResponse:
    """Tap a point on a photo, say what is there, and go on with the next point."""
    build = build_of(number)
    photo = get_object_or_404(Photo.objects.select_related("blob"), pk=photo_id, build=build)
    if request.method != "POST":
        return _show(request, build, photo, MarkForm())
    tapped = tapped_at(request.POST, sizes_of(photo))
    if tapped is not None:
        across, down = tapped
        typed = {name: request.POST.get(name, "") for name in ("section", "grade", "words")}
        form = MarkForm(initial={**typed, "across": across, "down": down})
        return _show(request, build, photo, form)
    form = MarkForm(request.POST)
    if form.is_valid():
        values = {name: form.cleaned_data[name] for name in ("section", "grade", "words")}
        at = form.mark
        try:
            intake.note_condition(
                build, **values, photo=photo, mark=at, by=staff(request), now=now()
            )
        except intake.Refused as error:
            form.add_error(None, str(error))
        else:
            here = reverse("bench_mark", args=[number, photo_id]) + "#spot"
            return done(request, here, _("The note is kept. Tap the next point, or go on."))
    return _show(request, build, photo, form, 422)


def _show(
    request: HttpRequest, build: Build, photo: Photo, form: MarkForm, status: int = 200
) -> HttpResponse:
    photos = pictures_of(build).photos
    found = condition_of(build, photos)
    here = next((each for each in found.marked if each.photo.pk == photo.pk), None)
    across, down = form["across"].value(), form["down"].value()
    number = sum(len(noted) for _section, noted in found.sections) + 1
    context = {
        "room": "bench",
        "build": build,
        "photo": photo,
        "sizes": sizes_of(photo),
        "marks": here.marks if here else [],
        "tapped": _point(number, across, down),
        "condition": found,
        "form": form,
        "others": [each for each in reversed(photos) if each.pk != photo.pk],
    }
    return page(request, "bench/mark.html", context, status=status)


def _point(number: int, across: object, down: object) -> object:
    try:
        return point(number, float(str(across)), float(str(down)))
    except ValueError:
        return None


def sizes_of(photo: Photo) -> dict[str, tuple[int, int]]:
    """Name of an input → the size that its photo has on the screen."""
    width, height = photo.blob.width or 4, photo.blob.height or 3
    return {name: _fitted(width, height, *box) for name, box in BOXES.items()}


def _fitted(width: int, height: int, most_wide: int, most_high: int) -> tuple[int, int]:
    scale = min(most_wide / width, most_high / height)
    return max(1, round(width * scale)), max(1, round(height * scale))


def tapped_at(posted: QueryDict, sizes: dict[str, tuple[int, int]]) -> tuple[float, float] | None:
    """The point that was tapped, in fractions of the photo.

    None where no photo was tapped. A key pressed in a field makes browsers press the first button
    of the form, which is the photo, at its very corner: that is no tap.
    """
    for name, (width, height) in sizes.items():
        x, y = posted.get(f"{name}.x", ""), posted.get(f"{name}.y", "")
        if x.isascii() and x.isdigit() and y.isascii() and y.isdigit() and (x, y) != ("0", "0"):
            return min(1.0, int(x) / width), min(1.0, int(y) / height)
    return None
