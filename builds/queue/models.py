"""Promises: the latest day told to a customer. Every change of one is a row."""

from django.conf import settings
from django.db import models

from builds.progress.models import Build


class Promise(models.Model):
    """A day told to the customer. Append-only by trigger; the newest is the promise."""

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="promises")
    day = models.DateField()
    reason = models.CharField(max_length=200, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        indexes = [models.Index(fields=["build", "-at", "-id"], name="promise_latest")]

    def __str__(self) -> str:
        return str(self.day)
