"""The page of what a board wants of its card."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from builds.sounds.actions.wishes import FIELDS, seen_wish, write_wish
from builds.sounds.forms.wishes import WishForm
from builds.sounds.models import CardProfile
from builds.sounds.queries.sets import boards
from builds.sounds.refusals import Refused
from shop.clock import now
from shop.history.queries import entries_about
from shop.stores.models import Part
from shop.web.access import staff
from shop.web.partials import done, page


@require_http_methods(["GET", "HEAD", "POST"])
def wish(request: HttpRequest, pk: int) -> HttpResponse:
    """What one board wants."""
    board = get_object_or_404(boards(), pk=pk)
    if request.method != "POST":
        held = CardProfile.objects.filter(part=board).first()
        values = held or CardProfile()
        first = {name: getattr(values, name) for name in FIELDS}
        return _show(request, board, WishForm(initial={**first, "seen": seen_wish(held)}))
    form = WishForm(request.POST)
    if form.is_valid():
        said = form.cleaned_data
        try:
            write_wish(board.pk, said, seen=said["seen"], by=staff(request), now=now())
        except Refused as error:
            form.add_error(None, str(error))
        else:
            return done(request, reverse("sounds_wish", args=[pk]), _("The wish is kept."))
    return _show(request, board, form, 422)


def _show(request: HttpRequest, board: Part, form: WishForm, status: int = 200) -> HttpResponse:
    context = {
        "room": "stores",
        "here": "sounds",
        "board": board,
        "form": form,
        "history": entries_about(board.about, limit=5),
    }
    return page(request, "sounds/wish.html", context, None, status)
