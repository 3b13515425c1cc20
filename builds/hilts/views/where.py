"""Which hilt a page is of, for which of its builds it was opened, and where it goes on to."""

from collections.abc import Callable, Mapping
from typing import Any

from django.forms import BaseForm
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse

from builds.hilts.actions import GoesRound, Refused
from builds.hilts.models import Hilt
from shop.web.partials import done

MOST_DIGITS = 9
Show = Callable[..., HttpResponse]
Deed = Callable[[dict[str, Any]], object]


def hilt_of(pk: int) -> Hilt:
    """The hilt of a key, or 404."""
    if len(str(pk)) > MOST_DIGITS:
        raise Http404
    return get_object_or_404(Hilt.objects.select_related("customer"), pk=pk)


def build_asked(request: HttpRequest, hilt: Hilt) -> Any:
    """The build of this hilt for which the page was opened; None where none is named."""
    number = request.GET.get("build", "")
    if not (number.isascii() and number.isdigit()) or len(number) > MOST_DIGITS:
        return None
    found = hilt.builds.select_related("hilt", "tray", "item__order__customer")
    return found.filter(number=number).first()


def query(build: Any) -> str:
    """What an address carries along to know the build again."""
    return f"?build={build.number}" if build else ""


def address(name: str, hilt: Hilt, build: Any, part: str = "") -> str:
    """Where a page of a hilt is, or a part of it."""
    return reverse(name, args=[hilt.pk]) + query(build) + (f"#{part}" if part else "")


def save(
    request: HttpRequest, form: BaseForm, deed: Deed, show: Show, to: str, said: str
) -> HttpResponse:
    """Do a deed with a form's values; what is refused comes back with all that was typed."""
    if form.is_valid():
        try:
            deed(form.cleaned_data)
        except GoesRound as error:  # beside the ticks, not at the form's head
            form.add_error("firsts" if "firsts" in form.fields else None, str(error))
        except Refused as error:
            form.add_error(None, str(error))
        else:
            return done(request, to, said)
    return show(form)


def said_of(form: BaseForm) -> str:
    """What is wrong with a form that has no field to show it beside."""
    return " ".join(str(error) for errors in form.errors.values() for error in errors)


Bound = Mapping[str, BaseForm]
