"""Staff who sign in (owner, bench) and customers who do not."""

from typing import ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
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


class Customer(models.Model):
    """Someone whose hilts come to the shop. Never signs in."""

    called = models.CharField(_("called"), max_length=60, help_text=_("as we greet them"))
    full_name = models.CharField(_("full name, for the parcel"), max_length=120)
    email = models.EmailField(_("e-mail"), blank=True)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    address = models.TextField(_("postal address"), blank=True)
    country = models.CharField(_("country"), max_length=2, blank=True)
    note = models.TextField(_("note"), blank=True)
    # Search and order go by prefix on indexed columns without case and accents.
    called_folded = models.CharField(max_length=60, db_index=True, editable=False)
    name_folded = models.CharField(max_length=120, db_index=True, editable=False)
    family_folded = models.CharField(max_length=120, db_index=True, editable=False)
    email_folded = models.CharField(max_length=254, db_index=True, editable=False)
    since = models.DateTimeField(editable=False)

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
