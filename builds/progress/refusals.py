"""What the rules of the bench refuse, each in one sentence for the person who tapped."""

from django.utils.translation import gettext as _

from builds.progress.models import Build, Move
from builds.progress.states import STAGES


class Refused(ValueError):
    """A deed that the rules of the bench do not allow, said in one sentence."""


class TrayTaken(Refused):
    """The tray holds another build: names it, and says for which build another is wanted."""

    def __init__(self, build: Build) -> None:
        self.build = build
        other = Build.objects.filter(tray=build.tray_id, state__in=STAGES).exclude(pk=build.pk)
        holder = other.select_related("hilt").first()
        words = f"{holder.hilt or ''} {holder}".strip() if holder else _("another build")
        super().__init__(
            _("Tray %(tray)s holds %(other)s. Choose another.")
            % {"tray": build.tray, "other": words}
        )


class Overtaken(Refused):
    """Someone else moved the build first: says who, when and where to."""

    def __init__(self, build: Build, last: Move | None) -> None:
        self.build, self.last = build, last
        where = build.get_state_display()
        if last is None:
            sentence = _("%(number)s is in %(where)s.") % {"number": build, "where": where}
        else:
            sentence = _("%(who)s moved %(number)s to %(where)s first, so nothing was changed.") % {
                "who": last.by.name,
                "number": build,
                "where": where,
            }
        super().__init__(sentence)
