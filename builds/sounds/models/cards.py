"""What a board wishes of its card, what is on a build's card, and what is kept of it."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from builds.progress.models import Build
from builds.sounds.states import KeptKind
from shop.files.models import Blob
from shop.stores.models import Part

_STAFF = settings.AUTH_USER_MODEL


class CardProfile(models.Model):
    """The wish of a board, as the shop wrote it down."""

    part = models.OneToOneField(Part, on_delete=models.PROTECT, related_name="card_profile")
    rate_hz = models.PositiveIntegerField(_("sample rate, Hz"), default=44_100)
    bits = models.PositiveSmallIntegerField(_("bits"), default=16)
    channels = models.PositiveSmallIntegerField(_("channels"), default=1)
    # Names: at most so many letters, of these alone (a set for a regular expression), or any.
    longest_name = models.PositiveSmallIntegerField(_("longest file name"), default=64)
    letters = models.CharField(_("letters in a name"), max_length=40, default="A-Za-z0-9_-")
    ending = models.CharField(_("ending"), max_length=8, default="wav")
    card_mib = models.PositiveIntegerField(_("card, MiB"), null=True, blank=True)
    cluster_kib = models.PositiveIntegerField(_("cluster, KiB"), default=32)

    def __str__(self) -> str:
        return f"card of {self.part_id}"


class CardListing(models.Model):
    """What is on a build's card: every path, size and SHA-256. The newest counts.

    Append-only by trigger.
    """

    token = models.UUIDField(unique=True)
    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="card_listings")
    entries = models.JSONField()  # [path, bytes, sha256]
    total_bytes = models.PositiveBigIntegerField()
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["build", "-made_at", "-id"]

    def __str__(self) -> str:
        return f"card of {self.build_id}"


class CardCheck(models.Model):
    """What a card held when somebody looked, against the list. Append-only by trigger."""

    token = models.UUIDField(unique=True)
    listing = models.ForeignKey(CardListing, on_delete=models.PROTECT, related_name="checks")
    same = models.PositiveIntegerField()
    missing = models.JSONField(default=list)  # paths
    changed = models.JSONField(default=list)
    extra = models.JSONField(default=list)
    at = models.DateTimeField()
    by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["listing", "-at", "-id"]

    def __str__(self) -> str:
        return f"check of {self.listing_id}"


class CardKept(models.Model):
    """A file kept as it is, so that a dead card can be made again."""

    token = models.UUIDField(unique=True)
    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="card_kept")
    kind = models.CharField(_("what"), max_length=8, choices=KeptKind)
    blob = models.ForeignKey(Blob, null=True, on_delete=models.PROTECT, related_name="+")
    name = models.CharField(_("file"), max_length=120, blank=True)
    version = models.CharField(_("version"), max_length=60, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(_STAFF, on_delete=models.PROTECT, related_name="+")
    ended_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["build", "kind", "-at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(kind__in=KeptKind.values), name="card_kept_kind_known"
            ),
            models.CheckConstraint(
                condition=Q(blob__isnull=False) | ~Q(version=""), name="card_kept_is_something"
            ),
        ]

    def __str__(self) -> str:
        return self.name or self.version
