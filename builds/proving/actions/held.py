"""What every deed on a sheet holds first: the build, and its newest run."""

from django.utils.translation import gettext as _

from builds.progress.actions import locked
from builds.progress.models import Build
from builds.progress.states import State
from builds.proving.models import Run
from builds.proving.queries.proofs import came_to_test, is_old
from builds.proving.queries.standing import Standing, newest_runs, standing
from builds.proving.refusals import Refused


def in_test(build_id: int) -> Build:
    """The build under its lock.

    :raises Refused: it is not in test.
    """
    build = locked(build_id)
    if build.state != State.TEST:
        facts = {"number": build, "where": build.get_state_display()}
        raise Refused(_("%(number)s is in %(where)s, not in test.") % facts)
    return build


def present(build: Build, run_id: int) -> Standing:
    """The run that the page showed, if it is the one that counts.

    :raises Refused: somebody began another, or the build was worked on since.
    """
    run = newest_runs([build.pk]).get(build.pk)
    if run is None:
        raise Refused(_("The sheet of this build is not begun."))
    if run.pk != run_id:
        raise Refused(_first(run))
    if is_old(run, came_to_test([build.pk]).get(build.pk)):
        raise Refused(_("The build was worked on since. Begin the sheet anew."))
    return standing(run)


def _first(run: Run) -> str:
    facts = {"who": run.begun_by.name, "n": run.number}
    return _("%(who)s began run %(n)s meanwhile. Nothing of yours was kept; look at it.") % facts
