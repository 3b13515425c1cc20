"""Values of orders that know no table: to whom and where an order goes."""

from dataclasses import dataclass, field

from shop.house.world import with_country


@dataclass(frozen=True)
class Consignee:
    """Who takes a parcel in, and where. Two that are equal may share a parcel."""

    customer_id: int
    key: str  # name, address and country, however they are spaced and written
    called: str = field(compare=False)
    full_name: str = field(compare=False)
    address: str = field(compare=False)
    country: str = field(compare=False)
    phone: str = field(compare=False)
    is_elsewhere: bool = field(default=False, compare=False)  # not the customer's own address

    @property
    def address_in_full(self) -> str:
        """The address with the name of its country as the last line, said once."""
        return "\n".join(with_country(self.address, self.country))


def key_of(*words: str) -> str:
    """What is written alike, whatever its spaces, lines and capitals."""
    return "|".join(" ".join(each.split()).casefold() for each in words)
