"""Hilts: a customer's object. It outlives any one build and may come back."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.people.models import Customer


class Hilt(models.Model):
    """A hilt, by the name that its owner or the shop gives it."""

    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="hilts")
    name = models.CharField(_("hilt"), max_length=80)
    name_folded = models.CharField(max_length=80, db_index=True, editable=False)
    note = models.TextField(_("note"), blank=True)
    since = models.DateTimeField(editable=False)

    def __str__(self) -> str:
        return self.name

    def save(self, *args, **kwargs) -> None:  # type: ignore[no-untyped-def]
        self.name_folded = self.name.casefold()
        super().save(*args, **kwargs)

    @property
    def about(self) -> str:
        """The key under which history and private links know this hilt."""
        return f"hilt:{self.pk}"
