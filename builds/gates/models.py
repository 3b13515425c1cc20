"""Conditions that the owner passed by word, with the reason."""

from django.conf import settings
from django.db import models

from builds.progress.models import Build
from builds.progress.states import STAGES, State


class Pass(models.Model):
    """The owner let a build by one condition of one stage. Append-only by trigger.

    It counts for the stay that it was given in: a build that was sent back is asked anew.
    """

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="passes")
    stage = models.CharField(max_length=10, choices=State)
    code = models.CharField(max_length=30)
    reason = models.TextField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    stay_since = models.DateTimeField()  # when the build had come into that stage

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["build", "stage", "code", "stay_since"], name="pass_once_a_stay"
            ),
            models.CheckConstraint(
                condition=models.Q(at__gte=models.F("stay_since")), name="pass_within_its_stay"
            ),
            models.CheckConstraint(condition=~models.Q(reason=""), name="pass_has_a_reason"),
            models.CheckConstraint(condition=models.Q(stage__in=STAGES), name="pass_in_a_stage"),
        ]

    def __str__(self) -> str:
        return f"{self.code} of {self.build_id}"
