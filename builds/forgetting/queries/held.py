"""The rows of a customer, table by table."""

from collections.abc import Iterator

from django.apps import apps
from django.db.models import Model, QuerySet

from builds.forgetting.reach import HELD, Held
from builds.hilts.models import Hilt
from builds.progress.models import Build
from shop.orders.models import Enquiry, Item, Order

LABELS = ("shop", "builds")


def model_of(held: Held) -> type[Model]:
    """The model by its name, which is unique over both apps."""
    for label in LABELS:
        if held.model.lower() in apps.get_app_config(label).models:
            return apps.get_model(label, held.model)
    raise LookupError(held.model)


def rows_of(held: Held, customer_id: int) -> QuerySet[Model]:
    """The rows of a table that are a customer's, each once."""
    rows = model_of(held)._base_manager
    return rows.filter(pk__in=rows.filter(**{held.path: customer_id}).values("pk"))


def keys_of(customer_id: int) -> list[str]:
    """The keys by which history, messages and links name what is a customer's."""
    return [f"customer:{customer_id}", *_keys_of_theirs(customer_id)]


def _keys_of_theirs(customer_id: int) -> Iterator[str]:
    found = {
        "order": Order.objects.filter(customer=customer_id),
        "item": Item.objects.filter(order__customer=customer_id),
        "enquiry": Enquiry.objects.filter(customer=customer_id),
        "hilt": Hilt.objects.filter(customer=customer_id),
        "build": Build.objects.filter(item__order__customer=customer_id),
    }
    for name, rows in found.items():
        yield from (f"{name}:{pk}" for pk in rows.values_list("pk", flat=True))
    for held in HELD:
        if held.model in {"Return", "Arrival", "Parcel"}:
            ids = rows_of(held, customer_id).values_list("pk", flat=True)
            yield from (f"{held.model.lower()}:{pk}" for pk in ids)


def blobs_of(customer_id: int) -> set[int]:
    """The files that are linked to a customer."""
    return {
        blob
        for held in HELD
        for link in held.files
        for blob in rows_of(held, customer_id).values_list(link, flat=True)
        if blob
    }
