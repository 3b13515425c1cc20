"""What is asked about money: the deposit before work, the rest before a hilt leaves.

No sum stands in the words: the bench reads them too.
"""

from django.urls import reverse
from django.utils.translation import gettext as _

from builds.gates.known import Condition, Known, condition


def deposit(known: Known) -> Condition | None:
    """What was asked before the work begins has come. On account none is asked."""
    money = known.going.money
    if not money.deposit_asked or money.on_account:
        return None
    return condition(
        "deposit",
        not money.deposit_due,
        _("Deposit in"),
        _("The deposit has not come yet"),
        _("Note the deposit"),
        _ledger(known),
    )


def settled(known: Known) -> Condition | None:
    """Asked as a build leaves finished: the whole order, or what leaves of it before the rest."""
    going, money = known.going, known.going.money
    if going.unpaid_beside:
        return _unpaid_beside(known)
    if money.charged is None:
        return None
    too_much = _("The customer’s account is above its limit")
    return condition(
        "settled",
        going.may_follow or not going.due,
        _("On account") if going.may_follow and money.due else _("Money settled"),
        too_much if money.on_account else _("Money is still open"),
        _("Note the payment"),
        _ledger(known),
    )


def _unpaid_beside(known: Known) -> Condition:
    """Goods of another order that go along are paid before they leave, as those of its own are."""
    number = known.going.unpaid_beside
    return condition(
        "settled",
        False,
        "",
        _("Money is still open for what lies beside it, of order %s") % number,
        _("Note the payment"),
        reverse("desk_order", args=[number]) + "#money",
    )


def settled_unfinished(known: Known) -> Condition | None:
    """Asked as a build ends unfinished: what came has gone back, but for what the shop keeps.

    Where an invoice was issued, it says what is owed; else nothing but a deposit may stay.
    """
    going, money = known.going, known.going.money
    if not money.is_of_money or going.others_stay:
        return None
    stays = money.deposit_asked if going.keeps_deposit else 0
    is_even = money.balance == 0 if money.invoiced is not None else money.received <= stays
    is_owed = bool(money.invoiced and money.due)
    return condition(
        "settled",
        is_even or (is_owed and money.on_account),
        _("Money settled"),
        _("Money is still open") if is_owed else _("Money is to go back"),
        _("Open the ledger"),
        _ledger(known),
    )


def _ledger(known: Known) -> str:
    # The order's page, which the bench may see; its part on money is the owner's.
    return reverse("desk_order", args=[known.build.item.order.number]) + "#money"
