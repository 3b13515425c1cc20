"""The shop's rules of the line and its dates, as they are typed."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.progress.states import ON_THE_RULE
from shop.house.models import House

MOST = 40


class RulesForm(forms.Form):
    """How much is under way at once, and how sure a promise must be."""

    most_opened = forms.IntegerField(
        label=_("Builds opened at one time"),
        min_value=1,
        max_value=MOST,
        help_text=_("From teardown until they leave. Common practice: 3 to 5 a person."),
    )
    least_odds_percent = forms.IntegerField(
        label=_("Least odds of a promise, %"),
        min_value=1,
        max_value=99,
        help_text=_("Below them a promise is in danger. Common practice: 80."),
    )
    shows_odds = forms.BooleanField(
        label=_("Customers see the odds"),
        required=False,
        help_text=_("On their page, beside the day, where ten finished builds stand behind it."),
    )

    def __init__(self, *args: Any, house: House, limits: dict[str, int], **kwargs: Any) -> None:
        kwargs.setdefault(
            "initial",
            {
                "most_opened": house.most_opened,
                "least_odds_percent": house.least_odds_percent,
                "shows_odds": house.shows_odds,
                **{f"most_{stage}": most for stage, most in limits.items()},
            },
        )
        super().__init__(*args, **kwargs)
        for stage in ON_THE_RULE:
            self.fields[f"most_{stage.value}"] = forms.IntegerField(
                label=_("Started in %s") % stage.label,
                min_value=1,
                max_value=MOST,
                required=False,
            )

    @property
    def of_stages(self) -> list[forms.BoundField]:
        """The limits, stage by stage."""
        return [self[f"most_{stage.value}"] for stage in ON_THE_RULE]

    @property
    def limits(self) -> dict[str, int]:
        """Stage → how many at most, where anything was typed."""
        typed = {stage.value: self.cleaned_data[f"most_{stage.value}"] for stage in ON_THE_RULE}
        return {stage: most for stage, most in typed.items() if most}
