"""Which deeds of the bench's own script were done, so that none is done twice."""

from datetime import timedelta

from django.conf import settings
from django.db import models

# Longer than a browser keeps trying by itself (static/js/sending.js), which is thirty days.
KEPT = timedelta(days=60)


class Deed(models.Model):
    """A deed that was done, by the key that the browser gave it; written in its transaction."""

    key = models.UUIDField(unique=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    done_at = models.DateTimeField(db_index=True)

    def __str__(self) -> str:
        return f"{self.key} at {self.done_at:%d %b %H:%M}"
