"""Opens the demo shop: the first set-up, its two people, its closure."""

from dataclasses import dataclass
from datetime import date, datetime, time

from builds.demo.people import HAND, OWNER
from builds.desk.actions.first_setup import set_up
from shop.diary.actions import Day, add_closure
from shop.house.models import House
from shop.people.actions import add_staff, set_password
from shop.people.models import Role, User


@dataclass(frozen=True)
class Crew:
    """The two who work in the shop."""

    oda: User
    jory: User

    def named(self, name: str) -> User:
        """Oda or Jory."""
        return self.jory if name == "jory" else self.oda


def blank(address: str) -> House:
    """The shop as its owner would type it."""
    return House(
        name="Larkhill Works",
        email="bench@larkhill.example",
        phone="01632 960101",
        address="The Old Ropewalk, Unit 4\nLarkhill\nZZ1 1LW",
        zone_name="Europe/London",
        country="GB",
        region="ENG",
        currency="GBP",
        tax_hundredths=2000,
        hour_minor=4200,
        deposit_hundredths=5000,
        deposit_from_minor=20_000,
        rush_hundredths=2500,
        rush_least_minor=3000,
        warranty_words=(
            "We put right what fails by our work or by a part of ours. Falls, water, other "
            "batteries than the one named, and what others changed are not covered."
        ),
        bench_url=address,
        public_url=address,
    )


def week() -> list[Day]:
    """Monday to Friday; parcels leave on Monday and on Friday."""
    opens, closes = time(9, 0), time(17, 30)
    return [
        Day(weekday, opens if weekday < 5 else None, closes if weekday < 5 else None,
            weekday in {0, 4})
        for weekday in range(7)
    ]  # fmt: skip


def open_shop(address: str, passwords: tuple[str, str], year: int, now: datetime) -> Crew:
    """Set the shop up and let its second hand join."""
    owner = {**OWNER, "password": passwords[0]}
    oda = set_up(blank(address), week(), time(15, 0), owner, now=now)
    jory = add_staff(name=HAND["name"], email=HAND["email"], role=Role.BENCH, by=oda, now=now)
    set_password(jory, passwords[1], by=oda, now=now)
    add_closure(date(year, 12, 24), date(year + 1, 1, 1), "The year’s end", by=oda, now=now)
    return Crew(oda, jory)
