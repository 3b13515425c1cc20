"""How an owner looks after a hilt: charging, putting away, cleaning, in plain sentences.

Common practice in workshops, no source, unless a line says otherwise.
"""

from django.utils.translation import gettext as _


def careful() -> list[str]:
    """Who should be careful near it."""
    return [
        _(
            "The light can flash quickly. That can set off a seizure in people who are sensitive "
            "to flashing light: ask before you show it, and switch it off at once if someone feels "
            "unwell."
        ),
        _("The light is bright. Never shine it into anyone’s eyes, at any distance."),
        _(
            "There are magnets in many hilts and blades. Keep them away from pacemakers and other "
            "devices in the body, and from cards with a magnetic strip."
        ),
        _("Small parts and magnets must not be swallowed. It is not for small children."),
        _("The speaker is loud for its size. Keep it away from ears."),
        _(
            "Swing it only where nobody and nothing is in reach. Pull at the blade before each "
            "use: it must hold."
        ),
    ]


def blade_out() -> str:
    """How the blade comes out, wherever that is said: a lit blade is never drawn."""
    return _("Switch the hilt off first, then take the blade out.")


def before_apart() -> list[str]:
    """What comes before anything inside is moved."""
    return [
        blade_out(),
        _("Cut the battery off if it can be: with the switch or key made for that."),
        _("Work over a cloth with a rim: small screws roll. Lay the parts down in the order in "
          "which they come off."),
        _("If something does not move by hand or with its own key, stop and ask us. Never use "
          "heat, a drill or pliers: there is a battery inside."),
    ]  # fmt: skip


def before_cell() -> list[str]:
    """What comes before the battery is moved."""
    return [
        _("Look which way round the battery lies before you take it out. Put in the wrong way "
          "round, it destroys the electronics, and no warranty covers that."),
        _("The sleeve around the battery must be whole. A torn or scratched sleeve in a metal hilt "
          "is a short circuit waiting to happen: do not use that battery again."),
        _("Never let the battery’s ends touch metal. Keep a loose battery in its case."),
    ]  # fmt: skip


def charging(by_port: bool) -> list[str]:
    """How the battery is charged, in the hilt or out of it."""
    where = (
        _("Charge it in the hilt, by its charge port, with the blade out.")
        if by_port
        else _("Take the battery out and charge it in a charger made for its kind.")
    )
    return [
        where,
        _("Stay with it while it charges, on a surface that cannot burn: stone, tile, metal."),
        _("Never below 0 °C, never in the sun or in a closed bag, never over night."),
        _("Hot, swollen, dented, leaking, or it smells: stop, do not charge it again, take it "
          "outdoors if that is safe, and write to us. Such a battery must not be posted. For a "
          "fire, what your local fire service says holds."),
        _("Old batteries go to the collection point that your place has for them, ends taped."),
    ]  # fmt: skip


def away() -> list[str]:
    """How it is put away for a while."""
    return [
        blade_out(),
        _(
            "Leave the battery about half full, and cut it off with the switch or key made for "
            "that, if your hilt has one. Cut off, it still loses a little by itself."
        ),
        _("Keep it dry, at 5 to 20 °C, out of the sun."),
        _("Look at it every two to three months and charge it to half again."),
    ]


def cleaning() -> list[str]:
    """How it is cleaned."""
    return [
        blade_out(),
        _(
            "Blade: a soft cloth, mild soap and water, nothing else, and dry before it goes back. "
            "Opinions differ on alcohol, so leave it."
        ),
        _(
            "Metal: a dry, soft cloth. Cleaning is not polishing: polish takes an aged finish off "
            "for good."
        ),
        _("No water into the hilt, and no oil or thread locker near blade, lens or switches."),
    ]


def coming_back() -> list[str]:
    """What to do before it is sent back to the shop."""
    return [
        _(
            "Write to us first and wait for our answer: we tell you when, where to, and the number "
            "for the box."
        ),
        _(
            "Hilt switched off, blade out, battery cut off or out if that needs no force. None "
            "loose in the box."
        ),
        _("Carriers and countries have rules of their own for batteries in the post. Ask yours."),
    ]
