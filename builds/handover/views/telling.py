"""Telling a customer about a return: by mail, or as a note of what was said elsewhere."""

from uuid import uuid4

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from builds.handover.actions import telling
from builds.handover.forms import returns as forms
from builds.handover.models import Return
from builds.handover.queries.returns import owner_of, words_for
from builds.handover.refusals import Refused
from builds.handover.views.returns import FRAME, found_of, page_of
from shop.clock import now
from shop.post.models import Occasion
from shop.post.queries import share_links, url_of
from shop.post.wording import Text, with_link
from shop.web.access import staff
from shop.web.partials import done, page


@require_http_methods(["GET", "HEAD", "POST"])
def tell(request: HttpRequest, number: int) -> HttpResponse:
    """Tell the customer that it is noted, or what was decided: that is the owner's to say."""
    found, text = _open(request, number)
    initial = {"token": uuid4(), "subject": text.subject, "body": text.body}
    form = forms.MessageForm(request.POST or None, initial=initial)
    if form.is_valid():
        token, by = form.cleaned_data["token"], staff(request)
        try:
            telling.tell(found, _occasion(found), form.text(), token=token, by=by, now=now())
        except Refused as error:
            form.add_error(None, str(error))
        else:
            return done(request, page_of(found), _("It is on its way."))
    return _show(request, found, text, form)


@require_POST
def said(request: HttpRequest, number: int) -> HttpResponse:
    """Note what was said by telephone, in a chat or in person."""
    found, text = _open(request, number)
    form = forms.SaidForm(request.POST, request.FILES, auto_id="said_%s")
    if form.is_valid():
        facts, how_words = form.cleaned_data, form.how_words
        try:
            telling.note_said(
                found, _occasion(found), **facts, how_words=how_words, by=staff(request), now=now()
            )
        except telling.NoPicture as error:
            form.add_error("screenshot", str(error))
        except Refused as error:
            form.add_error("said_at", str(error))
        else:
            return done(request, page_of(found), _("Noted."))
    return _show(request, found, text, said_form=form)


def _open(request: HttpRequest, number: int) -> tuple[Return, Text]:
    """The return, and the shop's words for it. What was decided is the owner's to say."""
    found = found_of(number)
    if found.decided_at and not staff(request).is_owner:
        raise PermissionDenied
    shop = request.house  # type: ignore[attr-defined]
    return found, words_for(found, _occasion(found), shop, now())


def _occasion(found: Return) -> Occasion:
    return Occasion.RETURN_DECIDED if found.decided_at else Occasion.RETURN_NOTED


def _show(
    request: HttpRequest,
    found: Return,
    text: Text,
    form: forms.MessageForm | None = None,
    said_form: forms.SaidForm | None = None,
) -> HttpResponse:
    link = telling.own_link(found, now())
    url = url_of(link, request.house)  # type: ignore[attr-defined]
    plain = Text(text.subject, with_link(text.body, url))
    first = {"token": uuid4(), "words": plain.body, "said_at": now()}
    initial = {"token": uuid4(), "subject": text.subject, "body": text.body}
    shown = {
        "found": found,
        "owner": owner_of(found),
        "form": form or forms.MessageForm(initial=initial),
        "said_form": said_form or forms.SaidForm(initial=first, auto_id="said_%s"),
        "no_mail": telling.why_no_mail(found),
        "link_url": url,
        "is_revoked": link is not None and link.revoked_at is not None,
        "share_links": share_links(owner_of(found), plain),
    }
    is_wrong = (form and form.errors) or (said_form and said_form.errors)
    return page(
        request, "handover/return_tell.html", FRAME | shown, status=422 if is_wrong else 200
    )
