"""What is asked of the bench test before a build leaves it."""

from django.urls import reverse
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from builds.gates.known import Condition, Known, condition
from builds.proving.queries import Proof
from shop.web.dated import dated

_NAMED = 3  # tests named in a line of conditions


def proved(known: Known) -> Condition | None:
    """The newest run of the sheet is complete and passed, since the build came to test.

    Nobody passes it as a whole: the owner lets single tests by, on the sheet, with a reason.
    """
    proof = known.proof or Proof()
    found = proof.standing
    no, deed = _in_the_way(proof)
    yes = _("Bench test passed, run %d") % found.run.number if found else ""
    link = reverse("proving_sheet", args=[known.build.number])
    return condition("proved", proof.is_met, yes, no, deed, link, never_pass=True)


def _in_the_way(proof: Proof) -> tuple[str, str]:
    found = proof.standing
    if found is None:
        return _("Bench test not begun"), _("Begin the sheet")
    if proof.is_old:
        return _("Worked on since its bench test: a new run is needed"), _("Begin the sheet anew")
    if found.failed:
        names = [each.line.name for each in found.failed]
        return _("Bench test failed: %s") % _few(names), _("Put it right")
    names = [each.line.name for each in found.open]
    running = [each.timer for each in found.open if each.timer and each.timer.stopped_at is None]
    if running and len(running) >= len(names):
        facts = {"what": running[-1].get_what_display(), "when": dated(
            localtime(running[-1].over_at), "short moment")}  # fmt: skip
        return _("Bench test: %(what)s runs until %(when)s") % facts, _("See the sheet")
    facts = {"n": str(len(names)), "which": _few(names)}
    return _("Bench test, %(n)s still to pass: %(which)s") % facts, _("Go on with the sheet")


def _few(names: list[str]) -> str:
    return ", ".join(names[:_NAMED]) + (" …" if len(names) > _NAMED else "")
