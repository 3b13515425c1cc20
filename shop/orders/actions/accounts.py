"""Opens, changes and closes the accounts of trade customers."""

from datetime import datetime
from typing import Any

from django.db import transaction

from shop.history.actions import record
from shop.orders.models import Account
from shop.people.models import Customer, User


@transaction.atomic
def keep_account(customer: Customer, terms: dict[str, Any], *, by: User, now: datetime) -> Account:
    """Open an account for a customer, or change its terms; one that was closed is open again."""
    Customer.objects.select_for_update().get(pk=customer.pk)
    account = Account.objects.filter(customer=customer).first()
    was_open = account is not None and account.closed_at is None
    account = account or Account(customer=customer)
    for name, value in terms.items():
        setattr(account, name, value)
    account.closed_at = None
    account.save()
    record("account_changed" if was_open else "account_opened", f"customer:{customer.pk}", by, now)
    return account


@transaction.atomic
def close_account(customer: Customer, *, by: User, now: datetime) -> None:
    """Close an account: what is ordered from now on is paid as by everybody."""
    if Account.objects.filter(customer=customer, closed_at=None).update(closed_at=now):
        record("account_closed", f"customer:{customer.pk}", by, now)
