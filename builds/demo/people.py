"""Who works in the demo shop, and whose hilts come to it. All of them are invented."""

from typing import Any

OWNER = {"name": "Oda Marsh", "email": "oda@larkhill.example"}
HAND = {"name": "Jory Pell", "email": "jory@larkhill.example"}


def _customer(
    called: str, full_name: str, mail: str, phone: str, address: str, country: str = "GB"
) -> dict[str, Any]:
    return {
        "called": called,
        "full_name": full_name,
        "email": f"{mail}.example",
        "phone": phone,
        "address": address,
        "country": country,
        "note": "",
    }


# Telephone numbers from the ranges kept free for drama; mail addresses that never resolve.
CUSTOMERS: dict[str, dict[str, Any]] = {
    "brigid": _customer(
        "Brigid", "Brigid O’Tornan", "brigid@tornan", "01632 960114",
        "2 Harbour Steps\nBallymoyle\nIreland", "IE",
    ),
    "callum": _customer(
        "Callum", "Callum Dunbrae", "callum@dunbrae", "01632 960127",
        "14 Kiln Brae\nNether Larkhill\nZZ1 4LW",
    ),
    "elodie": _customer(
        "Élodie", "Élodie Vauclaret", "elodie@vauclaret", "01632 960139",
        "9 rue des Tisserands\nMontvaudon\nFrance", "FR",
    ),
    "tamsin": _customer(
        "Tamsin", "Tamsin Oyelade", "tamsin@oyelade", "01632 960148",
        "Flat 3, 61 Candle Street\nNorthwick\nZZ2 7NW",
    ),
    "rafael": _customer(
        "Rafael", "Rafael Montcorvo", "rafael@montcorvo", "01632 960152",
        "5 Mill Lade\nSouthmere\nZZ4 1SM",
    ),
    "sunniva": _customer(
        "Sunniva", "Sunniva Dahlbrekke", "sunniva@dahlbrekke", "01632 960163",
        "Elvegata 12\nNordvik\nNorway", "NO",
    ),
    "wanjiru": _customer(
        "Wanjiru", "Wanjiru Kathenya", "wanjiru@kathenya", "01632 960171",
        "27 Orchard Rise\nEast Marden Cross\nZZ3 9EM",
    ),
    "piotr": _customer(
        "Piotr", "Piotr Wisznowiec", "piotr@wisznowiec", "01632 960186",
        "40 Tannery Road\nNorthwick\nZZ2 5TR",
    ),
    "meera": _customer(
        "Meera", "Meera Salvankar", "meera@salvankar", "01632 960195",
        "The Old Signal Box\nStation Lane\nHolm Ferry\nZZ6 2HF",
    ),
    "linnea": _customer(
        "Linnea", "Linnea Åkerlunde", "linnea@akerlunde", "01632 960203",
        "Ängsvägen 8\nSunnaby\nSweden", "SE",
    ),
    "haruto": _customer(
        "Haruto", "Haruto Minasawa", "haruto@minasawa", "+1 202-555-0143",
        "118 Juniper Court\nPlain Hollow, OH 00000\nUnited States", "US",
    ),
    "yusuf": _customer(
        "Yusuf", "Yusuf Karadenli", "yusuf@karadenli", "01632 960218",
        "3 Glasshouse Yard\nSouthmere\nZZ4 8GY",
    ),
    "lowen": _customer(
        "Lowen", "Lowen Trevanyon", "lowen@trevanyon", "01632 960224",
        "Carn Cottage\nPolvessan\nZZ8 3PV",
    ),
    "mateus": _customer(
        "Mateus", "Mateus Figueirol", "mateus@figueirol", "01632 960237",
        "16 Ropewalk Close\nNorthwick\nZZ2 3RC",
    ),
    "noor": _customer(
        "Noor", "Noor Azhari-Holt", "noor@azhari-holt", "01632 960241",
        "22 Lower Fold\nWethering\nZZ5 6WE",
    ),
    "anouk": _customer(
        "Anouk", "Anouk van der Zwaluw", "anouk@zwaluw", "01632 960258",
        "Kraanspoor 31\nOosterdrecht\nNetherlands", "NL",
    ),
}  # fmt: skip
