"""Reads enquiries for the desk."""

from shop.orders.models import Enquiry


def enquiry_of(key: str) -> Enquiry | None:
    """The enquiry that a page names, with all that is shown of it; None where there is none."""
    if not key.isdecimal() or len(key) > 18:
        return None
    rows = Enquiry.objects.select_related("customer", "order", "noted_by")
    return rows.filter(pk=key).first()
