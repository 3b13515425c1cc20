"""Bytes by their SHA-256, and the pictures made from them."""

from django.conf import settings
from django.db import models


class Blob(models.Model):
    """A file as it came, byte for byte, kept under its SHA-256."""

    sha256 = models.CharField(max_length=64, unique=True)
    size = models.PositiveBigIntegerField()
    media_type = models.CharField(max_length=60)
    width = models.PositiveIntegerField(null=True)
    height = models.PositiveIntegerField(null=True)
    kept_at = models.DateTimeField()
    # Renditions are asked for by the row itself: a sweep finds those that a lost wake-up left.
    rendered_at = models.DateTimeField(null=True)
    tries = models.PositiveSmallIntegerField(default=0)
    problem = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=models.Q(size__gt=0), name="blob_not_empty")
        ]
        indexes = [
            models.Index(
                fields=["id"],
                name="blob_to_render",
                condition=models.Q(rendered_at=None, problem=""),
            )
        ]

    def __str__(self) -> str:
        return self.sha256[:12]


class Rendition(models.Model):
    """A re-encoded picture of a blob, without metadata, upright."""

    blob = models.ForeignKey(Blob, on_delete=models.CASCADE, related_name="renditions")
    longest_side = models.PositiveSmallIntegerField()
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    size = models.PositiveIntegerField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["blob", "longest_side"], name="rendition_once")
        ]

    def __str__(self) -> str:
        return f"{self.blob_id} at {self.longest_side}"


class Upload(models.Model):
    """A large file that comes in pieces, over a connection that may break."""

    token = models.UUIDField(unique=True)
    about = models.CharField(max_length=60)  # what it is for: "film:build:12"
    name = models.CharField(max_length=200)
    media_type = models.CharField(max_length=60, blank=True)  # by its first bytes
    # Tells two files of one name and size apart; made by the browser, or empty.
    mark = models.CharField(max_length=40, blank=True)
    size = models.PositiveBigIntegerField()
    received = models.PositiveBigIntegerField(default=0)  # on the disk, synced
    begun_at = models.DateTimeField()
    begun_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    last_at = models.DateTimeField()
    blob = models.ForeignKey(Blob, null=True, on_delete=models.PROTECT, related_name="+")
    ended_at = models.DateTimeField(null=True)  # kept, given up or swept

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(received__lte=models.F("size"), size__gt=0),
                name="upload_received_of_its_size",
            ),
        ]
        indexes = [
            models.Index(fields=["about"], name="upload_open", condition=models.Q(ended_at=None))
        ]

    def __str__(self) -> str:
        return self.name
