"""Passkeys by WebAuthn. Loaded when somebody has one or makes one: 15 MB a process otherwise."""

import json
import logging
from datetime import datetime
from urllib.parse import urlsplit

from django.db import transaction
from django.utils.translation import gettext as _
from webauthn import (
    generate_authentication_options,
    generate_registration_options,
    options_to_json,
    verify_authentication_response,
    verify_registration_response,
)
from webauthn.helpers import base64url_to_bytes, bytes_to_base64url
from webauthn.helpers.exceptions import WebAuthnException
from webauthn.helpers.structs import (
    AuthenticatorSelectionCriteria,
    PublicKeyCredentialDescriptor,
    ResidentKeyRequirement,
    UserVerificationRequirement,
)

from shop.history.actions import record
from shop.people.actions import Refused
from shop.people.factors import handle_of
from shop.people.models import Passkey, User

log = logging.getLogger("hiltyard.doors")
# What the library says of an answer that does not hold, and what it trips over in a damaged one.
_DAMAGED = (WebAuthnException, ValueError, LookupError, TypeError, AttributeError)
LONGEST = 16_000  # of what a browser sends: a few hundred bytes by nature


def asked_to_make(user: User, *, host: str, shop: str) -> tuple[str, str]:
    """What the browser is asked when a passkey is made, as JSON, and its challenge."""
    options = generate_registration_options(
        rp_id=host,
        rp_name=shop,
        user_id=handle_of(user.pk),
        user_name=user.email,
        user_display_name=user.name,
        exclude_credentials=_known(user, host),
        authenticator_selection=AuthenticatorSelectionCriteria(
            resident_key=ResidentKeyRequirement.DISCOURAGED,
            user_verification=UserVerificationRequirement.PREFERRED,
        ),
    )
    return options_to_json(options), bytes_to_base64url(options.challenge)


def asked_to_show(user: User, *, host: str) -> tuple[str, str]:
    """What the browser is asked when a passkey is shown, as JSON, and its challenge."""
    options = generate_authentication_options(
        rp_id=host,
        allow_credentials=_known(user, host),
        user_verification=UserVerificationRequirement.PREFERRED,
    )
    return options_to_json(options), bytes_to_base64url(options.challenge)


def _known(user: User, host: str) -> list[PublicKeyCredentialDescriptor]:
    own = user.passkeys.filter(host=host).values_list("credential", flat=True)
    return [PublicKeyCredentialDescriptor(id=base64url_to_bytes(each)) for each in own]


@transaction.atomic
def keep(
    user: User, said: str, *, name: str, challenge: str, origin: str, now: datetime
) -> Passkey:
    """Write a new passkey down, once what the browser says of it holds."""
    host = urlsplit(origin).hostname or ""
    try:
        made = verify_registration_response(
            credential=_as_sent(said),
            expected_challenge=base64url_to_bytes(challenge),
            expected_rp_id=host,
            expected_origin=origin,
        )
    except _DAMAGED as error:
        raise Refused(_("The browser's answer does not hold. Begin again.")) from error
    credential = bytes_to_base64url(made.credential_id)
    if Passkey.objects.filter(credential=credential).exists():
        raise Refused(_("This passkey is known already."))
    record("passkey_added", user.about, user, now)
    return Passkey.objects.create(
        person=user,
        name=name,
        host=host,
        credential=credential,
        public_key=made.credential_public_key,
        sign_count=made.sign_count,
        since=now,
    )


@transaction.atomic
def check(user: User, said: str, *, challenge: str, origin: str, now: datetime) -> None:
    """Take a passkey for the second step; Refused when what the browser says does not hold."""
    no_good = _("This passkey did not open the door. Try again, or take a code.")
    try:
        sent = _as_sent(said)
        own = user.passkeys.select_for_update().get(credential=str(sent.get("id", "")))
        shown = verify_authentication_response(
            credential=sent,
            expected_challenge=base64url_to_bytes(challenge),
            expected_rp_id=own.host,
            expected_origin=origin,
            credential_public_key=bytes(own.public_key),
            credential_current_sign_count=own.sign_count,
        )
    except (Passkey.DoesNotExist, *_DAMAGED) as error:
        log.warning("a passkey was refused: %s", user.about)
        raise Refused(no_good) from error
    own.sign_count, own.used_at = shown.new_sign_count, now
    own.save(update_fields=["sign_count", "used_at"])


def _as_sent(said: str) -> dict[str, object]:
    if len(said) > LONGEST:
        raise ValueError("too long")
    sent = json.loads(said)
    if not isinstance(sent, dict):
        raise TypeError("no object")
    return sent
