"""Back-ups and exports: what was asked for, and what came of it.

The row is the job: a process of its own takes what waits, so that hours of copying hold up no mail.
"""

from django.conf import settings
from django.db import models

from shop.keeping.troubles import said


class Backup(models.Model):
    """One back-up: asked for by the clock, by a person, or found in the folder.

    Its table is left out of back-ups: it says what lies on this machine.
    """

    token = models.UUIDField(null=True, unique=True)
    night = models.DateField(null=True, unique=True)  # of the clock's own; one a night
    asked_at = models.DateTimeField()
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    begun_at = models.DateTimeField(null=True)
    done_at = models.DateTimeField(null=True)
    tries = models.PositiveSmallIntegerField(default=0)
    problem = models.CharField(max_length=300, blank=True)  # its name in ``troubles``
    file_name = models.CharField(max_length=200, blank=True)
    size = models.PositiveBigIntegerField(default=0)
    rows = models.PositiveBigIntegerField(default=0)
    files = models.PositiveBigIntegerField(default=0)
    lacking = models.PositiveIntegerField(default=0)  # files that were missing or damaged
    second_problem = models.CharField(max_length=300, blank=True)
    check_asked_at = models.DateTimeField(null=True)
    checked_at = models.DateTimeField(null=True)
    check_problem = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(done_at=None)
                | models.Q(begun_at__isnull=False) & ~models.Q(file_name=""),
                name="backup_done_has_a_file",
            )
        ]

    def __str__(self) -> str:
        return self.file_name or str(self.pk)

    @property
    def problem_said(self) -> str:
        """Why it was not made, in words."""
        return said(self.problem)

    @property
    def second_said(self) -> str:
        """Why it was not copied."""
        return said(self.second_problem)

    @property
    def check_said(self) -> str:
        """What was found as it was read through."""
        return said(self.check_problem)


class Export(models.Model):
    """Everything as files that open without this tool; kept for two days."""

    token = models.UUIDField(unique=True)
    asked_at = models.DateTimeField()
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    begun_at = models.DateTimeField(null=True)
    done_at = models.DateTimeField(null=True)
    problem = models.CharField(max_length=300, blank=True)
    size = models.PositiveBigIntegerField(default=0)
    gone_at = models.DateTimeField(null=True)  # its file was taken away

    def __str__(self) -> str:
        return f"hiltyard-export-{self.pk}.zip"

    @property
    def problem_said(self) -> str:
        """Why it was not written, in words."""
        return said(self.problem)
