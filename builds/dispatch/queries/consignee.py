"""To whom a parcel goes: what its order says, else its customer's own address."""

from dataclasses import dataclass

from shop.orders.models import Order


@dataclass(frozen=True)
class Consignee:
    """Name, address and country of whom a parcel goes to."""

    name: str
    address: str
    country: str
    customer_id: int

    @property
    def lines(self) -> list[str]:
        """Name and address as they stand on the label."""
        rest = [line.strip() for line in self.address.splitlines() if line.strip()]
        return [line for line in (self.name, *rest, self.country) if line]

    @property
    def key(self) -> tuple[str, ...]:
        """The same for the same consignee, however the lines are broken and written."""
        if not self.address.strip():
            return ("customer", str(self.customer_id))
        words = (" ".join(part.split()).casefold() for part in (self.name, self.address))
        return (*words, self.country.casefold())


def consignee_of(order: Order) -> Consignee:
    """Whom an order goes to; wants its customer read along."""
    customer = order.customer
    if order.ship_address.strip():
        name = order.ship_name or customer.full_name
        return Consignee(name, order.ship_address, order.ship_country, customer.pk)
    name = order.ship_name or customer.full_name
    country = order.ship_country or customer.country
    return Consignee(name, customer.address, country, customer.pk)
