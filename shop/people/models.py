"""Staff who sign in (owner, bench) and customers who do not."""

from importlib import import_module
from typing import Any, ClassVar

from django.conf import settings
from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.contrib.sessions.base_session import AbstractBaseSession
from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.house.world import with_country
from shop.web.prefix import plain


class Role(models.TextChoices):
    """What a member of staff may see: the owner everything, the bench no money."""

    OWNER = "owner", _("owner")
    BENCH = "bench", _("bench")


class UserManager(BaseUserManager["User"]):
    """Finds staff by their address, whatever its case."""

    def get_by_natural_key(self, username: str | None) -> "User":
        return self.get(email=self.normalise(username or ""))

    @staticmethod
    def normalise(email: str) -> str:
        """An address as it is kept: trimmed, case-folded."""
        return email.strip().casefold()


class User(AbstractBaseUser):
    """A member of staff."""

    email = models.EmailField(_("e-mail"), unique=True)
    name = models.CharField(_("name"), max_length=60)
    role = models.CharField(_("role"), max_length=10, choices=Role, default=Role.BENCH)
    # Hashed like a password. Empty: this person does not take over a tablet by PIN.
    pin = models.CharField(max_length=128, blank=True, default="", editable=False)
    is_active = models.BooleanField(_("may sign in"), default=True)
    at_bench = models.BooleanField(_("works on builds"), default=True)  # dates reckon with it
    # Empty: the shop's own.
    language = models.CharField(_("language"), max_length=10, blank=True, default="")

    USERNAME_FIELD = "email"
    REQUIRED_FIELDS = ["name"]
    objects: ClassVar[UserManager] = UserManager()

    class Meta:
        constraints = [
            models.CheckConstraint(condition=models.Q(role__in=Role.values), name="user_role_known")
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def about(self) -> str:
        """The key under which history and messages know this person."""
        return f"user:{self.pk}"

    @property
    def is_owner(self) -> bool:
        """Whether this person sees money and settings."""
        return self.role == Role.OWNER


class Session(AbstractBaseSession):
    """What a browser is remembered by, and whose it is, so that it is listed and can be ended.

    Left out of back-ups: a back-up opens nobody's session.
    """

    person = models.ForeignKey(User, models.CASCADE, null=True, related_name="sessions")
    # What pages know it by; the key itself opens it and stands on no page.
    mark = models.CharField(max_length=24, unique=True)
    agent = models.CharField(max_length=200, blank=True, default="")
    since = models.DateTimeField(null=True)
    seen = models.DateTimeField(null=True)
    by_pin = models.BooleanField(default=False)

    @classmethod
    def get_session_store_class(cls) -> Any:
        """Asked by Django alone, for decoding a row by itself."""
        return import_module(settings.SESSION_ENGINE).SessionStore


class AppCode(models.Model):
    """That somebody's sign-in asks for the code of an app.

    The secret is not here: it is an HMAC of the nonce under the key that lies beside the database.
    """

    person = models.OneToOneField(User, models.CASCADE, related_name="app_code")
    nonce = models.CharField(max_length=32)
    since = models.DateTimeField()
    last_step = models.BigIntegerField(default=0)  # a code is taken once

    def __str__(self) -> str:
        return f"code of {self.person_id}"


class RecoveryCode(models.Model):
    """A code on paper that stands once for the second step; hashed like a password."""

    person = models.ForeignKey(User, models.CASCADE, related_name="recovery_codes")
    code = models.CharField(max_length=128)
    used_at = models.DateTimeField(null=True)

    def __str__(self) -> str:
        return f"recovery code {self.pk}"


class Passkey(models.Model):
    """A key that a device or a stick keeps; only its public half is here."""

    person = models.ForeignKey(User, models.CASCADE, related_name="passkeys")
    name = models.CharField(_("name"), max_length=60)
    host = models.CharField(max_length=253)  # a passkey is good at this host name alone
    credential = models.CharField(max_length=1400, unique=True)  # its id, in base64url
    public_key = models.BinaryField()
    sign_count = models.BigIntegerField(default=0)
    since = models.DateTimeField()
    used_at = models.DateTimeField(null=True)

    def __str__(self) -> str:
        return self.name


class Customer(models.Model):
    """Someone whose hilts come to the shop. Never signs in."""

    called = models.CharField(_("called"), max_length=60, help_text=_("as we greet them"))
    full_name = models.CharField(_("full name, for the parcel"), max_length=120)
    email = models.EmailField(_("e-mail"), blank=True)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    address = models.TextField(_("postal address"), blank=True)
    country = models.CharField(_("country"), max_length=2, blank=True)
    # Empty: the shop's own. Their page, papers and messages are in it.
    language = models.CharField(_("language"), max_length=10, blank=True, default="")
    note = models.TextField(_("note"), blank=True)
    # Search and order go by prefix on indexed columns without case and accents.
    called_folded = models.CharField(max_length=60, db_index=True, editable=False)
    name_folded = models.CharField(max_length=120, db_index=True, editable=False)
    family_folded = models.CharField(max_length=120, db_index=True, editable=False)
    email_folded = models.CharField(max_length=254, db_index=True, editable=False)
    since = models.DateTimeField(editable=False)
    # Who asked to be forgotten: the row stays for the books, without a name. The day until which
    # papers and binding answers still name them, and when that was over.
    erased_at = models.DateTimeField(null=True, editable=False)
    named_until = models.DateField(null=True, editable=False)
    unnamed_at = models.DateTimeField(null=True, editable=False)

    def __str__(self) -> str:
        return self.called

    def save(self, *args, **kwargs) -> None:  # type: ignore[no-untyped-def]
        self.called_folded = plain(self.called)
        self.name_folded = plain(self.full_name)
        self.family_folded = self.name_folded.split(" ")[-1]
        self.email_folded = self.email.casefold()
        super().save(*args, **kwargs)

    @property
    def address_in_full(self) -> str:
        """The address with the name of its country as the last line, said once."""
        return "\n".join(with_country(self.address, self.country))
