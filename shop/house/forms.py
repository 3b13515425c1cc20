"""Forms for the shop itself."""

from typing import Any

from django import forms
from django.conf import settings
from django.utils.translation import gettext_lazy as _

from shop.house import world
from shop.house.models import House
from shop.web.figures import AnyFloat


class PlaceForm(forms.ModelForm):
    """Where the shop is: what its clock, its holidays and its money follow from.

    The regions, names by code, come from whoever knows the holidays; a region of another country
    is dropped.
    """

    class Meta:
        model = House
        fields = ["country", "region", "zone_name", "currency"]
        help_texts = {"currency": _("Fixed for good with the first sum that is recorded.")}

    def __init__(self, *args: Any, regions: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        named = regions(self._present("country"))
        everywhere = ("", _("only those of the whole country"))
        if self.is_bound and self._present("region") not in named:
            self.data = {**dict(self.data.items()), self.add_prefix("region"): ""}
        self._choose("zone_name", world.zones(self._present("zone_name")))
        by_name = sorted(named.items(), key=lambda one: one[1].casefold())
        self._choose("region", [everywhere, *by_name], required=False)
        self._choose("country", world.countries())
        self._choose("currency", world.currencies())
        if not named:
            self.fields["region"].widget = forms.HiddenInput()

    def _present(self, name: str) -> str:
        """What a field shows, read past the bound field: that one would keep the old widget."""
        if self.is_bound:
            return str(self.data.get(self.add_prefix(name), ""))
        return str(self.get_initial_for_field(self.fields[name], name) or "")

    def _choose(self, name: str, choices: Any, required: bool = True) -> None:
        old = self.fields[name]
        self.fields[name] = forms.ChoiceField(
            label=old.label, help_text=old.help_text, choices=choices, required=required
        )


class ShopForm(forms.ModelForm):
    """How customers know the shop and reach it."""

    class Meta:
        model = House
        fields = ["name", "email", "phone", "address"]
        help_texts = {
            "email": _("Customers' replies go there."),
        }
        widgets = {
            "name": forms.TextInput(attrs={"autocomplete": "organization"}),
            "email": forms.EmailInput(attrs={"autocomplete": "email"}),
            "phone": forms.TextInput(attrs={"autocomplete": "tel", "inputmode": "tel"}),
            "address": forms.Textarea(attrs={"rows": 4, "autocomplete": "street-address"}),
        }


class SpeechForm(forms.ModelForm):
    """What the shop speaks, and how it writes days, hours and papers."""

    class Meta:
        model = House
        fields = ["language", "date_form", "clock_form", "first_day", "paper"]
        widgets = {"clock_form": forms.RadioSelect}
        help_texts = {
            "date_form": _("On every page and paper, customers’ own too."),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["language"] = forms.ChoiceField(
            label=_("Language"),
            choices=settings.LANGUAGES,
            help_text=_(
                "Staff and customers may have one of their own. What was written down stays as "
                "it was typed."
            ),
        )


class BenchForm(forms.ModelForm):
    """How the bench measures, and what it asks of a cell, of a stuck joint and of a blade."""

    class Meta:
        model = House
        fields = [
            "length_unit", "least_idle_days", "most_try_minutes", "least_depth_mm",
            "largest_film_mb",
        ]  # fmt: skip
        widgets = {"length_unit": forms.RadioSelect}
        labels = {
            "least_idle_days": _("Least days that a cell must last at rest"),
            "most_try_minutes": _("Minutes of tries on one stuck joint"),
            "least_depth_mm": _("Least depth of a blade in its socket, mm"),
            "largest_film_mb": _("Largest film, MB"),
        }
        help_texts = {
            "length_unit": _(
                "As lengths are shown, and what a bare number means. With its unit either is "
                "understood anywhere: 26.2 mm, 7/8 in. Kept are millimetres."
            ),
            "least_idle_days": _(
                "The power page warns where a build that nobody uses would be flat sooner. "
                "30 is common practice, without a source."
            ),
            "most_try_minutes": _(
                "The limit to stop at: after that a change of plan is offered. 60 is common "
                "practice, without a source."
            ),
            "least_depth_mm": _(
                "What goes in less keeps a build in teardown. 19 mm, 3/4 in, is common practice, "
                "without a source."
            ),
            "largest_film_mb": _(
                "Films lie on the shop's own disk, and in its back-ups. A minute of a telephone's "
                "film takes 60 to 400 MB."
            ),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._bound("least_idle_days", forms.IntegerField, 1, 3650)
        self._bound("most_try_minutes", forms.IntegerField, 1, 600)
        self._bound("least_depth_mm", AnyFloat, 5, 100)
        self._bound("largest_film_mb", forms.IntegerField, 1, 100_000)

    def _bound(self, name: str, field: type[forms.IntegerField], least: int, most: int) -> None:
        was = self.fields[name]
        self.fields[name] = field(
            label=was.label, help_text=was.help_text, min_value=least, max_value=most
        )


class AddressesForm(forms.ModelForm):
    """The two web addresses of the shop."""

    class Meta:
        model = House
        fields = ["bench_url", "public_url"]
        labels = {"bench_url": _("Bench address"), "public_url": _("Public address")}
        help_texts = {
            "bench_url": _(
                "Where your own tablets and phones open Hiltyard. Printed tags and mails to "
                "the staff lead here. For example http://192.0.2.10:8000"
            ),
            "public_url": _(
                "Where customers open their private page from anywhere, if you let them. "
                "Empty: their messages carry no link. For example https://bench.example.com"
            ),
        }
        widgets = {
            name: forms.TextInput(
                attrs={"inputmode": "url", "autocapitalize": "none", "spellcheck": "false"}
            )
            for name in ("bench_url", "public_url")
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["bench_url"].required = True

    def clean_bench_url(self) -> str:
        return str(self.cleaned_data["bench_url"]).rstrip("/")

    def clean_public_url(self) -> str:
        return str(self.cleaned_data["public_url"]).rstrip("/")
