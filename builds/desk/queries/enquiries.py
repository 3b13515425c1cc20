"""Reads enquiries for the desk."""

from dataclasses import dataclass

from shop.orders.models import Enquiry, EnquiryPhoto, Order


def enquiry_of(key: str) -> Enquiry | None:
    """The enquiry that a page names, with all that is shown of it; None where there is none."""
    if not key.isdecimal() or len(key) > 18:
        return None
    rows = Enquiry.objects.select_related("customer", "order", "noted_by")
    return rows.filter(pk=key).first()


@dataclass(frozen=True)
class Asked:
    """What an order came of: the wishes and the photos that were sent with them."""

    enquiry: Enquiry
    photos: list[EnquiryPhoto]


def asked_for(order: Order) -> Asked | None:
    """The enquiry that an order came of; None where it came otherwise."""
    found = Enquiry.objects.filter(order=order).first()
    return Asked(found, photos_of(found)) if found else None


def photos_of(enquiry: Enquiry) -> list[EnquiryPhoto]:
    """The photos of an enquiry, in the order in which they came."""
    return list(enquiry.photos.select_related("blob"))
