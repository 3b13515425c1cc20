"""The shop's own words, for the owner to write."""

from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from builds.desk.forms.wording import WordingForm
from builds.desk.queries.wording import Words, all_words, example, fillable, of_build
from shop.clock import now
from shop.diary.queries import calendar
from shop.house.queries import house
from shop.post.actions import Refused, default_wording, save_wording
from shop.post.wording import PLACEHOLDERS, Text
from shop.web.access import owner_only, staff
from shop.web.partials import done, page


@owner_only
def wording(request: HttpRequest) -> HttpResponse:
    """Every occasion, and whose words stand for it."""
    shown = {"room": "messages", "here": "wording", "all_words": all_words()}
    return page(request, "desk/wording.html", shown)


@owner_only
def wording_edit(request: HttpRequest, occasion: str) -> HttpResponse:
    """Write the words of one occasion; looking at them first keeps nothing."""
    words = _words(occasion)
    is_sent = request.method == "POST"
    judged = is_sent and "look" not in request.POST
    so_far = request.POST.dict() if is_sent else vars(words.text)
    form = WordingForm(request.POST if judged else None, initial=so_far)
    builds = fillable()
    number = request.POST.get("build", builds[0][0] if builds else "")
    if form.is_valid() and _kept(request, occasion, form):
        return done(request, reverse("desk_wording"), _("Your words are kept."))
    shown = {
        "room": "messages",
        "here": "wording",
        "words": words,
        "form": form,
        "placeholders": list(PLACEHOLDERS.items()),
        "builds": builds,
        "build": number,
        "preview": _preview(Text(so_far.get("subject", ""), so_far.get("body", "")), words, number),
    }
    parts = {"preview": "desk/_preview.html"}
    return page(request, "desk/wording_edit.html", shown, parts, status=422 if judged else 200)


@owner_only
@require_POST
def wording_reset(request: HttpRequest, occasion: str) -> HttpResponse:
    """Go back to the words that the tool came with."""
    default_wording(_words(occasion).occasion, staff(request), now())
    return done(request, reverse("desk_wording"), _("The first words stand again."))


def _words(occasion: str) -> Words:
    found = next((words for words in all_words() if words.occasion == occasion), None)
    if found is None:
        raise Http404
    return found


def _kept(request: HttpRequest, occasion: str, form: WordingForm) -> bool:
    fields = form.cleaned_data
    try:
        save_wording(occasion, fields["subject"], fields["body"], staff(request), now())
    except Refused as refusal:
        form.refuse(str(refusal))
        return False
    return True


def _preview(text: Text, words: Words, number: str) -> Text:
    """The text with the facts of a build; with made-up ones where there is no build."""
    shop, known = house(), number.isascii() and number.isdecimal() and len(number) < 10
    real = of_build(text, int(number), words.occasion, shop, now()) if known else None
    return real or example(text, shop, calendar(shop).today(now()))
