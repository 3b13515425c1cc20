"""The second step: what is asked after the password of who has turned it on.

Between the two nobody is signed in. What was proven waits in the session, for ten minutes, with
the mark of the password that proved it: a password changed meanwhile ends the waiting.
"""

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import logout
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import resolve_url
from django.utils.crypto import constant_time_compare
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from shop import clock
from shop.people import actions, devices, factors, sessions
from shop.people.forms import SecondStepForm
from shop.people.models import User
from shop.people.queries import passkey_host, recovery_codes_left
from shop.web.access import public
from shop.web.partials import page

PENDING, CHALLENGE = "second_step", "passkey_challenge"
FEW = 3  # codes on paper that are left, before whoever uses one hears of it


def go_on(request: HttpRequest, user: User, to: str, *, stays: bool) -> HttpResponse:
    """After the password: to the second step where there is one, else in."""
    if not factors.has_second_step(user):
        return _let_in(request, user, to, stays)
    if request.user.is_authenticated and request.user != user:
        logout(request)
    request.session.cycle_key()
    request.session[PENDING] = {
        "user": user.pk,
        "password": user.get_session_auth_hash(),
        "since": clock.now().timestamp(),
        "to": to,
        "stays": stays,
    }
    return HttpResponseRedirect(resolve_url("people_second_step"), status=303)


def _let_in(request: HttpRequest, user: User, to: str, stays: bool) -> HttpResponse:
    sessions.begin(request, user, clock.now())
    if not stays:
        request.session.set_expiry(0)
    answer = HttpResponseRedirect(to, status=303)
    devices.remember(request, answer, user.pk)
    return answer


def _waiting(request: HttpRequest) -> User | None:
    """Who has given the password and not yet the second step."""
    pending = request.session.get(PENDING)
    if not pending or factors.spent(pending["since"], clock.now()):
        return None
    user = User.objects.filter(pk=pending["user"], is_active=True).first()
    if user is None or (request.user.is_authenticated and request.user != user):
        return None
    same = constant_time_compare(user.get_session_auth_hash(), pending["password"])
    return user if same else None


def _over(request: HttpRequest) -> HttpResponse:
    messages.error(request, _("That took too long. Begin again with the password."))
    return HttpResponseRedirect(resolve_url(settings.LOGIN_URL), status=303)


def _finish(request: HttpRequest, user: User) -> HttpResponse:
    pending = request.session[PENDING]
    return _let_in(request, user, pending["to"], pending["stays"])


@public
@sensitive_post_parameters("code")
@require_http_methods(["GET", "HEAD", "POST"])
def second_step(request: HttpRequest) -> HttpResponse:
    """A code of the app or from paper, or a passkey."""
    user = _waiting(request)
    if user is None:
        return _over(request)
    form = SecondStepForm(request.POST or None)
    kind = _taken(request, user, form) if form.is_valid() else ""
    if kind:
        answer = _finish(request, user)
        if kind == "paper":
            _say_how_many_are_left(request, user)
        return answer
    return _show(request, user, form)


def _taken(request: HttpRequest, user: User, form: SecondStepForm) -> str:
    try:
        return factors.check_code(
            user,
            form.cleaned_data["code"],
            device=devices.caller(request),
            knows=user.pk in devices.knows(request),
            now=clock.now(),
        )
    except actions.Refused as refusal:
        form.add_error("code", str(refusal))
        return ""


def _say_how_many_are_left(request: HttpRequest, user: User) -> None:
    left = recovery_codes_left(user)
    if left > FEW:
        return
    said = ngettext(
        "%d code on paper is left. Make a new set soon.",
        "%d codes on paper are left. Make a new set soon.",
        left,
    )
    messages.warning(request, said % left)


def _show(
    request: HttpRequest, user: User, form: SecondStepForm, refused: str = ""
) -> HttpResponse:
    host = passkey_host(request)
    has_passkey = bool(host) and user.passkeys.filter(host=host).exists()
    context = {
        "form": form,
        "user": user,
        "asked": _asked(request, user, host) if has_passkey else "",
        "has_app": hasattr(user, "app_code"),
        "elsewhere": "" if has_passkey else _where_passkeys_work(user),
        "refused": refused,
    }
    status = 422 if form.errors or refused else 200
    return page(request, "people/second_step.html", context, status=status)


def _where_passkeys_work(user: User) -> str:
    return ", ".join(sorted(set(user.passkeys.values_list("host", flat=True))))


def _asked(request: HttpRequest, user: User, host: str) -> str:
    from shop.people import passkeys  # noqa: PLC0415 - 15 MB a process, for who has one alone

    asked, request.session[CHALLENGE] = passkeys.asked_to_show(user, host=host)
    return asked


@public
@require_POST
def second_step_passkey(request: HttpRequest) -> HttpResponse:
    """A passkey instead of a code."""
    user = _waiting(request)
    if user is None:
        return _over(request)
    try:
        _check_passkey(request, user)
    except actions.Refused as refusal:
        return _show(request, user, SecondStepForm(), str(refusal))
    return _finish(request, user)


def _check_passkey(request: HttpRequest, user: User) -> None:
    from shop.people import passkeys  # noqa: PLC0415 - 15 MB a process, for who has one alone

    device, known = devices.caller(request), user.pk in devices.knows(request)
    factors.count_try(user, device=device, knows=known, now=clock.now())
    passkeys.check(
        user,
        request.POST.get("said", ""),
        challenge=request.session.pop(CHALLENGE, ""),
        origin=request.build_absolute_uri("/").rstrip("/"),
        now=clock.now(),
    )
