"""Attempts counted for throttling: in the database, so that every process sees them."""

from django.db import models


class Throttle(models.Model):
    """How often something was tried since a moment; the key names who and what, hashed."""

    key = models.CharField(max_length=64, unique=True)
    since = models.DateTimeField()
    count = models.PositiveIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.key[:8]}: {self.count} since {self.since:%H:%M}"
