"""What a customer reads: of the states of a hilt, and of one that is to come back."""

from typing import Any

from django.utils.translation import gettext_lazy as _

from builds.handover.states import Being, CellNow, Covered, Pays

# Common practice, no source; carriers forbid damaged cells by post and by air.
HARMED = _(
    "Do not post it: a damaged battery may catch fire, and carriers forbid it. Do not charge it "
    "and do not switch it on. Lay it where nothing can burn, away from where you sleep. Take the "
    "battery out only if it is cold and comes out without force or tools; otherwise leave it "
    "alone. If it gets hot, smokes or hisses: keep away from it and call the fire service. "
    "What your local rules say goes before this. We will call you."
)
_WHOLE = _(
    "Before you post it: hilt switched off, blade out. Take the battery out if that needs no "
    "force, and keep it; otherwise leave it where it is, cut off if your hilt has a switch or "
    "key for that. None loose in the box. A battery that is swollen, dented, torn, leaking or "
    "hot must not be posted at all: write to us instead. Carriers and countries have rules of "
    "their own for batteries; ask yours."
)
# What a hilt is doing when a gesture is made.
HEADS: dict[str, Any] = {
    Being.ASLEEP: _("When it is asleep"),
    Being.OFF: _("When it is awake, blade off"),
    Being.ON: _("When the blade is on"),
    Being.MENU: _("In a menu"),
    Being.EFFECT: _("In an effect"),
    Being.CHARGING: _("While it charges"),
    Being.LOW: _("When its battery is low"),
    Being.HUNG: _("When it hangs"),
}
VERDICTS: dict[str, Any] = {
    Covered.COVERED: _("The warranty covers it: you pay nothing for the work."),
    Covered.GOODWILL: _("The warranty does not cover it, but we do it for you without charge."),
    Covered.NOT_COVERED: _(
        "The warranty does not cover it. We tell you what it would come to, and do nothing "
        "before you say yes."
    ),
}
CARRIAGE: dict[str, Any] = {
    Pays.SHOP: _("The carriage is ours, both ways."),
    Pays.CUSTOMER: _("The carriage is yours, both ways."),
    Pays.BOTH: _("You pay the way to us, we pay the way back."),
}


def battery(cell: str) -> str:
    """What is to be done with the battery before anything is posted."""
    return str(HARMED if cell == CellNow.HARMED else _WHOLE)
