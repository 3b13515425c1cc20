"""How I sign in: where I am signed in, the second step, and what stands for it when it is lost."""

import segno
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import resolve_url
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop import clock
from shop.house.speech import speaking_as
from shop.people import actions, factors, sessions
from shop.people.forms import AppCodeForm, LanguageForm, PasskeyForm
from shop.people.queries import app_address, passkey_host, recovery_codes_left, sessions_of
from shop.web.access import lately_proven, staff
from shop.web.partials import done, page, refused

NONCE, CHALLENGE = "app_code_nonce", "new_passkey_challenge"
HERE = "people_doors"


@require_safe
def doors(request: HttpRequest) -> HttpResponse:
    """The page of all of it."""
    user = staff(request)
    context = {
        "sessions": sessions_of(user, sessions.here(request), clock.now()),
        "app_code": getattr(user, "app_code", None),
        "passkeys": list(user.passkeys.order_by("since")),
        "codes_left": recovery_codes_left(user),
        "passkeys_work": bool(passkey_host(request)),
        "tongue": LanguageForm(initial={"language": user.language}),
    }
    return page(request, "people/doors.html", context)


@require_POST
def language(request: HttpRequest) -> HttpResponse:
    """Take the language that I read; empty is the shop's own."""
    form = LanguageForm(request.POST)
    if not form.is_valid():
        return refused(request, resolve_url(HERE), _("That language is not known here."))
    user, chosen = staff(request), form.cleaned_data["language"]
    actions.choose_language(user, chosen, now=clock.now())
    with speaking_as(request.house, chosen):  # type: ignore[attr-defined]
        return done(request, resolve_url(HERE), _("Saved."))


@require_POST
@lately_proven
def end_session(request: HttpRequest, mark: str) -> HttpResponse:
    """End one of my sessions elsewhere."""
    user = staff(request)
    if not sessions.end_session(user, mark, by=user, now=clock.now()):
        return refused(request, resolve_url(HERE), _("That one had ended already."))
    return done(request, resolve_url(HERE), _("Signed out there."))


@require_POST
@lately_proven
def end_others(request: HttpRequest) -> HttpResponse:
    """End all of my sessions but this one."""
    user, here = staff(request), sessions.here(request)
    ended = sessions.end_other_sessions(user, keep=here, by=user, now=clock.now())
    said = ngettext("Signed out on %d other device.", "Signed out on %d other devices.", ended)
    return done(request, resolve_url(HERE), said % ended)


@lately_proven
@sensitive_post_parameters("code")
@require_http_methods(["GET", "HEAD", "POST"])
def app_code(request: HttpRequest) -> HttpResponse:
    """Set up an app that makes codes: a QR code to scan, and the first code to try it."""
    user, form = staff(request), AppCodeForm(request.POST or None)
    nonce = request.session.setdefault(NONCE, factors.new_nonce())
    if form.is_valid():
        try:
            typed = form.cleaned_data["code"]
            codes = factors.turn_on(user, nonce, typed, now=clock.now())
        except actions.Refused as refusal:
            form.add_error("code", str(refusal))
        else:
            del request.session[NONCE]
            return _on(request, codes)
    secret = factors.in_base32(factors.secret_of(user.pk, nonce))
    address = app_address(user, secret, request.house.name)  # type: ignore[attr-defined]
    code = segno.make(address, error="m", micro=False)
    context = {
        "form": form,
        "secret": " ".join(secret[at : at + 4] for at in range(0, len(secret), 4)),
        "address": address,
        "qr": code.svg_inline(border=2, svgclass="qr", lineclass=None, omitsize=True),
        "has_one": hasattr(user, "app_code"),
    }
    return page(request, "people/app_code.html", context, status=422 if form.errors else 200)


def _on(request: HttpRequest, codes: list[str]) -> HttpResponse:
    """The second step is on; codes on paper are shown where they are new."""
    if codes:
        return _paper(request, codes)
    said = _("The app's code is asked for from now on.")
    return done(request, resolve_url(HERE), said)


def _paper(request: HttpRequest, codes: list[str]) -> HttpResponse:
    """Shown in the answer itself and kept nowhere: a redirect would have to keep them."""
    context = {"codes": codes, "day": clock.day_in(request.house.zone, clock.now())}  # type: ignore[attr-defined]
    return page(request, "people/recovery_codes.html", context)


@require_POST
@lately_proven
def app_code_off(request: HttpRequest) -> HttpResponse:
    """Ask no more for an app's code."""
    factors.turn_off_app(staff(request), now=clock.now())
    return done(request, resolve_url(HERE), _("The app's code is asked for no more."))


@lately_proven
@require_http_methods(["GET", "HEAD", "POST"])
def recovery_codes(request: HttpRequest) -> HttpResponse:
    """A new set of codes on paper; without a second step there is nothing that they stand for."""
    user = staff(request)
    if not factors.has_second_step(user):
        return HttpResponseRedirect(resolve_url(HERE), status=303)
    if request.method == "POST":
        return _paper(request, factors.new_recovery_codes(user, now=clock.now()))
    context = {"left": recovery_codes_left(user)}
    return page(request, "people/recovery_codes_new.html", context)


@lately_proven
@require_http_methods(["GET", "HEAD", "POST"])
def passkey(request: HttpRequest) -> HttpResponse:
    """Make a passkey, where the browser can: under HTTPS or on the machine itself."""
    host = passkey_host(request)
    form = PasskeyForm(request.POST or None)
    if host and form.is_valid():
        try:
            return _on(request, _kept(request, form))
        except actions.Refused as refusal:
            form.add_error("name", str(refusal))
    context = {"form": form, "host": host, "asked": _asked(request, host) if host else ""}
    return page(request, "people/passkey.html", context, status=422 if form.errors else 200)


def _asked(request: HttpRequest, host: str) -> str:
    from shop.people import passkeys  # noqa: PLC0415 - 15 MB a process, for who makes one alone

    shop = request.house.name  # type: ignore[attr-defined]
    asked, request.session[CHALLENGE] = passkeys.asked_to_make(staff(request), host=host, shop=shop)
    return asked


def _kept(request: HttpRequest, form: PasskeyForm) -> list[str]:
    from shop.people import passkeys  # noqa: PLC0415 - 15 MB a process, for who makes one alone

    user = staff(request)
    passkeys.keep(
        user,
        form.cleaned_data["said"],
        name=form.cleaned_data["name"],
        challenge=request.session.pop(CHALLENGE, ""),
        origin=request.build_absolute_uri("/").rstrip("/"),
        now=clock.now(),
    )
    return factors.first_recovery_codes(user, now=clock.now())


@require_POST
@lately_proven
def passkey_off(request: HttpRequest, pk: int) -> HttpResponse:
    """Let a passkey open nothing any more."""
    factors.remove_passkey(staff(request), pk, now=clock.now())
    return done(request, resolve_url(HERE), _("That passkey opens nothing any more."))
