"""Sound sets and their files, with whose licence it is."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from builds.sounds.states import Licence, SetState
from shop.files.models import Blob
from shop.people.models import Customer
from shop.stores.models import Part

_STAFF = settings.AUTH_USER_MODEL


class SoundSet(models.Model):
    """A set of sounds as it came. One buyer's set is never offered for another customer's build."""

    token = models.UUIDField(unique=True)
    name = models.CharField(_("name"), max_length=80)
    name_folded = models.CharField(max_length=80, db_index=True, editable=False)
    licence = models.CharField(_("licence"), max_length=10, choices=Licence)
    customer = models.ForeignKey(
        Customer, null=True, blank=True, on_delete=models.PROTECT, related_name="sound_sets"
    )
    licence_words = models.CharField(_("licence, in words"), max_length=200, blank=True)
    archive = models.ForeignKey(Blob, null=True, on_delete=models.PROTECT, related_name="+")
    state = models.CharField(max_length=8, choices=SetState, default=SetState.KEPT)
    done = models.PositiveIntegerField(default=0)  # files looked at so far, of ``total``
    total = models.PositiveIntegerField(default=0)
    tries = models.PositiveSmallIntegerField(default=0)
    problem = models.CharField(max_length=300, blank=True)
    # A copy in a board's wished format knows the set that it was made from.
    made_from = models.ForeignKey(
        "self", null=True, on_delete=models.PROTECT, related_name="copies"
    )
    made_for = models.ForeignKey(Part, null=True, on_delete=models.PROTECT, related_name="+")
    stirred_at = models.DateTimeField(null=True)  # when the worker was last at it
    added_at = models.DateTimeField()
    added_by = models.ForeignKey(_STAFF, null=True, on_delete=models.PROTECT, related_name="+")
    ended_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["name_folded", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(licence__in=Licence.values, state__in=SetState.values),
                name="sound_set_words_known",
            ),
            models.CheckConstraint(
                condition=~Q(licence="one-buyer") | Q(customer__isnull=False),
                name="sound_set_of_one_buyer_has_its_buyer",
            ),
            models.CheckConstraint(
                condition=Q(made_from=None, made_for=None)
                | Q(made_from__isnull=False, made_for__isnull=False),
                name="sound_set_copy_is_for_a_board",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def save(self, *args, **kwargs) -> None:  # type: ignore[no-untyped-def]
        self.name_folded = self.name.casefold()
        super().save(*args, **kwargs)

    @property
    def about(self) -> str:
        """The key under which history knows this sound set."""
        return f"sound_set:{self.pk}"


class SoundFile(models.Model):
    """One file of a set, and what was found of it."""

    sound_set = models.ForeignKey(SoundSet, on_delete=models.CASCADE, related_name="files")
    path = models.CharField(max_length=255)
    blob = models.ForeignKey(Blob, null=True, on_delete=models.PROTECT, related_name="+")
    size = models.PositiveBigIntegerField()
    place = models.PositiveIntegerField(default=0)  # in its archive
    made_from = models.ForeignKey("self", null=True, on_delete=models.PROTECT, related_name="+")
    tries = models.PositiveSmallIntegerField(default=0)
    # Files of a sort are held against one another: hum with hum.
    sort = models.CharField(max_length=40, blank=True)
    # What it is: container, rate_hz, bits, channels, seconds, peak_dbfs, loudness_lufs …
    facts = models.JSONField(default=dict, blank=True)
    findings = models.JSONField(default=list, blank=True)  # [code, level, figures]
    looked_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["sound_set", "path"]
        constraints = [
            models.UniqueConstraint(fields=["sound_set", "path"], name="sound_file_once"),
        ]

    def __str__(self) -> str:
        return self.path
