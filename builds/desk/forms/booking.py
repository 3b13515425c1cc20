"""The forms of a new order, on one page and answered together."""

from datetime import date
from typing import Any
from uuid import UUID, uuid4

from django.core.exceptions import ValidationError
from django.forms import Form
from django.http import QueryDict

from builds.desk.forms.customers import CustomerForm
from builds.desk.forms.orders import (
    NO_KNOWN_HILT,
    SOMEONE_NEW,
    JobForm,
    OnceForm,
    TermsForm,
    WhoForm,
)
from builds.desk.queries.blades import blades_to_choose
from builds.desk.queries.orders import customers_to_choose, hilts_of
from builds.progress.states import Leaves
from shop.house.models import House
from shop.people.models import Customer, User

NEW = "new"  # sets a new customer's fields apart from the job's


class Booking:
    """Who it is for, the job, its terms, and the token of one filling-in.

    :param typed: what was typed so far, or what the page's address asks for.
    :param judged: whether it is an answer; looking for a customer is none yet.
    """

    def __init__(
        self, house: House, by: User, hint: str, *, typed: QueryDict, judged: bool
    ) -> None:
        data = typed if judged else None
        so_far = {name: typed.get(name, "") for name in typed}
        found = customers_to_choose(so_far.get("who", ""), so_far.get("customer", ""))
        self.who = WhoForm(found, data, initial={"customer": SOMEONE_NEW, **so_far})
        self.customer = self.who.chosen()
        hilts = hilts_of(self.customer)
        # For a customer we know these fields are hidden: they are neither judged nor asked for,
        # as a browser holds back a form whose needed field cannot be seen.
        self.new = CustomerForm(
            None if self.customer else data,
            prefix=NEW,
            initial=_of_someone_new(so_far, house),
            use_required_attribute=False,
        )
        self.job = JobForm(
            hilts, data, initial={"hilt": NO_KNOWN_HILT, **so_far}, dispatch_hint=hint,
            blades=blades_to_choose(self.customer),
        )  # fmt: skip
        self.so_far = so_far
        self.terms = TermsForm(data, initial=so_far, sees_money=by.is_owner)
        self.once = OnceForm(data, initial={"token": uuid4(), **so_far})

    @property
    def forms(self) -> list[Any]:
        """The forms that must be answered well: a new customer's facts only for someone new."""
        asked = [self.who, self.job, self.terms, self.once]
        return asked if self.customer else [self.who, self.new, *asked[1:]]

    def is_valid(self) -> bool:
        """Whether all of them are; each is asked, so that every error is shown at once."""
        return sum(not form.is_valid() for form in self.forms) == 0

    @property
    def token(self) -> UUID | None:
        """The token of this filling-in; None where it is missing or no token."""
        return self.once.token_sent()

    @property
    def needed_by(self) -> date | None:
        """The day by which it is needed, as far as it was typed."""
        return self._day(self.terms, "needed_by")

    @property
    def promise_day(self) -> date | None:
        """The day that is to be promised, as far as it was typed."""
        return self._day(self.job, "promise_day")

    def _day(self, form: Form, name: str) -> date | None:
        try:
            day: date | None = form.fields[name].clean(self.so_far.get(name, ""))
        except ValidationError:
            return None
        return day

    @property
    def for_whom(self) -> Customer:
        """The customer as far as is known; of someone new the country alone."""
        return self.customer or Customer(country=self.so_far.get(f"{NEW}-country", ""))

    @property
    def leaves_by(self) -> str:
        """How it leaves the shop, as far as it was typed."""
        return self.so_far.get("leaves_by") or Leaves.POST

    @property
    def whom(self) -> Customer | dict[str, Any]:
        """The customer we know, or the facts of a new one."""
        return self.customer or dict(self.new.cleaned_data)


def _of_someone_new(so_far: dict[str, Any], house: House) -> dict[str, Any]:
    facts = {
        name.removeprefix(f"{NEW}-"): value
        for name, value in so_far.items()
        if name.startswith(f"{NEW}-")
    }
    return {"country": house.country, **facts}
