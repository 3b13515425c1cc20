"""The second step of a sign-in: codes of an app, codes on paper; turning it on and off.

The secret that an app is given is an HMAC of a nonce under the key of the private links, so the
database alone makes no code. Codes on paper are hashed like passwords. Who has a second step is
asked for it wherever the password is asked: at the sign-in, at a new password, at ``confirm``.
"""

import hmac
import logging
import re
import secrets
from base64 import b32encode
from datetime import datetime, timedelta
from hashlib import sha256

from django.conf import settings
from django.contrib.auth.hashers import check_password, make_password
from django.db import transaction
from django.utils.translation import gettext as _
from django_otp.oath import TOTP

from shop import clock
from shop.history.actions import record
from shop.people.actions import DAY, SPAN, Refused
from shop.people.models import AppCode, Passkey, RecoveryCode, User
from shop.web import throttle

log = logging.getLogger("hiltyard.doors")
STEP_S, DRIFT = 30, 1  # RFC 6238; a clock may be one step off either way
RECOVERY_CODES = 10
TRIES, TRIES_A_DAY = 5, 30
_SIGNS = "acdefhjkmnpqrtuvwxy34679"  # none that looks like another
_DIGITS = re.compile(r"[0-9]{6}")


def new_nonce() -> str:
    """What makes one setting up differ from the next."""
    return secrets.token_hex(16)


def secret_of(user_pk: int, nonce: str) -> bytes:
    """The 160 bits that somebody's app is given."""
    return _derived(f"app code:{user_pk}:{nonce}")[:20]


def handle_of(user_pk: int) -> bytes:
    """What passkeys know a person by: no name and no number of ours."""
    return _derived(f"passkeys of:{user_pk}")


def _derived(label: str) -> bytes:
    # A key of its own for the second step, so that no link can ever be mistaken for one.
    key = hmac.digest(settings.LINK_KEY.encode(), b"second step", sha256)
    return hmac.digest(key, label.encode(), sha256)


def in_base32(secret: bytes) -> str:
    """The secret as apps take it when it is typed."""
    return b32encode(secret).decode().rstrip("=")


def _step_of(secret: bytes, typed: str, after: int, now: datetime) -> int | None:
    """Which step a code is of, if it is of one around now that comes after the last one taken."""
    totp = TOTP(secret, step=STEP_S)
    totp.time = now.timestamp()
    after = 0 if _is_ahead(after, now) else after
    is_right = bool(_DIGITS.fullmatch(typed)) and totp.verify(int(typed), DRIFT, after + 1)
    return int(totp.t()) if is_right else None


def _is_ahead(step: int, now: datetime) -> bool:
    """Whether a code was taken while the clock was ahead: nobody waits till it is so late."""
    return step * STEP_S > (now + clock.AHEAD).timestamp()


def turn_on(user: User, nonce: str, typed: str, *, now: datetime) -> list[str]:
    """Ask for an app's code from now on, once the app has shown that it makes the right one.

    The answer is the codes on paper, which are shown this once; none where there are some already.
    """
    if not throttle.allow("turn on", str(user.pk), TRIES, SPAN, now):
        raise Refused(_("Too many tries. Wait a quarter of an hour, then try again."))
    step = _step_of(secret_of(user.pk, nonce), _without_blanks(typed), 0, now)
    if step is None:
        raise Refused(_("This is not the code that the app shows now. Is its clock right?"))
    throttle.forget("turn on", str(user.pk))
    return _ask_from_now_on(user, nonce, step, now)


@transaction.atomic
def _ask_from_now_on(user: User, nonce: str, step: int, now: datetime) -> list[str]:
    fields = {"nonce": nonce, "since": now, "last_step": step}
    AppCode.objects.update_or_create(person=user, defaults=fields)
    record("app_code_on", user.about, user, now)
    return first_recovery_codes(user, now=now)


def first_recovery_codes(user: User, *, now: datetime) -> list[str]:
    """Codes on paper for who has none yet."""
    if user.recovery_codes.filter(used_at=None).exists():
        return []
    return new_recovery_codes(user, now=now)


@transaction.atomic
def new_recovery_codes(user: User, *, now: datetime) -> list[str]:
    """A new set of codes on paper; the older ones are good no more."""
    codes = [_paper_code() for _ in range(RECOVERY_CODES)]
    user.recovery_codes.all().delete()
    hashed = [RecoveryCode(person=user, code=make_password(_without_blanks(c))) for c in codes]
    RecoveryCode.objects.bulk_create(hashed)
    record("recovery_codes_made", user.about, user, now)
    return codes


def _paper_code() -> str:
    signs = "".join(secrets.choice(_SIGNS) for _ in range(12))  # 55 bits, and few tries
    return f"{signs[:4]}-{signs[4:8]}-{signs[8:]}"


def _without_blanks(typed: str) -> str:
    return re.sub(r"[\s-]", "", typed).lower()


def check_code(user: User, typed: str, *, device: str, knows: bool, now: datetime) -> str:
    """Take a code for the second step: ``app`` or ``paper``; Refused when it is no good.

    Whoever comes here knows the password already. Tries are few on each device; on devices that
    do not know this person they are few a day in all.
    """
    count_try(user, device=device, knows=knows, now=now)
    code = _without_blanks(typed)
    if _take_app_code(user, code, now):
        kind = "app"
    elif _take_paper_code(user, code, now):
        kind = "paper"
    else:
        log.warning("a code was refused: %s", user.about)
        raise Refused(_("This code is not right, or was used before. Take the newest."))
    throttle.forget("second step", f"{user.pk} {device}")
    return kind


def count_try(user: User, *, device: str, knows: bool, now: datetime) -> None:
    """Count a try at the second step; Refused when there were too many."""
    in_bounds = throttle.allow("second step", f"{user.pk} {device}", TRIES, SPAN, now)
    whose = f"{user.pk} {device}" if knows else str(user.pk)
    if not (throttle.allow("second steps", whose, TRIES_A_DAY, DAY, now) and in_bounds):
        raise Refused(_("Too many tries. Wait a quarter of an hour, or use a device you know."))


def _take_app_code(user: User, code: str, now: datetime) -> bool:
    own = AppCode.objects.filter(person=user).first()
    if own is None:
        return False
    step = _step_of(secret_of(user.pk, own.nonce), code, own.last_step, now)
    if step is None:
        return False
    # The same code on two tablets at once: the row changes for one of them.
    newer = AppCode.objects.filter(pk=own.pk, nonce=own.nonce, last_step=own.last_step)
    return newer.update(last_step=step) == 1


@transaction.atomic
def _take_paper_code(user: User, code: str, now: datetime) -> bool:
    if not code or len(code) > 40:
        return False
    for each in user.recovery_codes.filter(used_at=None):
        if check_password(code, each.code):
            unused = RecoveryCode.objects.filter(pk=each.pk, used_at=None)
            taken = unused.update(used_at=now) == 1
            if taken:
                record("recovery_code_used", user.about, user, now)
            return taken
    return False


@transaction.atomic
def turn_off_app(user: User, *, now: datetime) -> None:
    """Ask no more for an app's code."""
    if AppCode.objects.filter(person=user).delete()[0]:
        record("app_code_off", user.about, user, now)
    _drop_lonely_codes(user)


@transaction.atomic
def remove_passkey(user: User, pk: int, *, now: datetime) -> None:
    """Let a passkey open nothing any more."""
    if Passkey.objects.filter(person=user, pk=pk).delete()[0]:
        record("passkey_removed", user.about, user, now)
    _drop_lonely_codes(user)


def _drop_lonely_codes(user: User) -> None:
    """Codes on paper stand for something lost; where nothing can be lost they go too."""
    if not has_second_step(user):
        user.recovery_codes.all().delete()


def has_second_step(user: User) -> bool:
    """Whether somebody's sign-in asks for more than the password."""
    return (
        AppCode.objects.filter(person=user).exists() or Passkey.objects.filter(person=user).exists()
    )


@transaction.atomic
def take_off(user_pk: int, *, by: User | None, now: datetime) -> None:
    """Take a lost second step off somebody: the owner off a bench hand, the machine off anyone."""
    user = User.objects.select_for_update().get(pk=user_pk)
    if by is not None and user.is_owner:
        raise Refused(_("An owner's second step is taken off at the machine alone."))
    AppCode.objects.filter(person=user).delete()
    Passkey.objects.filter(person=user).delete()
    user.recovery_codes.all().delete()
    record("second_step_taken_off", user.about, by, now)


def spent(pending_since: float, now: datetime) -> bool:
    """Whether a sign-in waited too long for its second step."""
    return abs(now.timestamp() - pending_since) > timedelta(minutes=10).total_seconds()
