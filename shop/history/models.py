"""What was done: a verb code, an actor, what it was about, and its parameters."""

from django.conf import settings
from django.db import models


class Entry(models.Model):
    """One deed. Append-only by trigger; words are made on reading, no personal name is stored."""

    at = models.DateTimeField()
    actor = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    verb = models.CharField(max_length=40)
    about = models.CharField(max_length=60)
    parameters = models.JSONField(default=dict)

    class Meta:
        indexes = [models.Index(fields=["about", "-at"], name="history_about")]

    def __str__(self) -> str:
        return f"{self.verb} {self.about}"
