"""Calendar feeds, and what was last told of each event in them."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _


class Feed(models.Model):
    """A secret address that a calendar reads. What proves it is computed: it is not in the row."""

    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="feeds"
    )
    name = models.CharField(_("what it is for"), max_length=40)
    address_id = models.CharField(max_length=16, unique=True)
    token = models.UUIDField(unique=True)
    made_at = models.DateTimeField()
    last_read_on = models.DateField(null=True)  # the day alone: nobody's hours are watched
    revoked_at = models.DateTimeField(null=True)
    revoked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(revoked_at=None, revoked_by=None)
                | Q(revoked_at__isnull=False, revoked_by__isnull=False),
                name="feed_revoked_by_someone",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class FeedEvent(models.Model):
    """What was last told of an event: a mark of its words and days, how often they changed, when.

    An event that dropped out has no mark.
    """

    key = models.CharField(max_length=40, unique=True)
    mark = models.CharField(max_length=64, blank=True)
    sequence = models.PositiveIntegerField(default=0)
    changed_at = models.DateTimeField(db_index=True)

    class Meta:
        constraints = [models.CheckConstraint(condition=~Q(key=""), name="feed_event_has_a_key")]

    def __str__(self) -> str:
        return f"{self.key}, {self.sequence}"
