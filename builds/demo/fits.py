"""Chooses parts for the demo's hilts and places them: most fit, one board is a hair too wide."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from builds.demo.days import token
from builds.fitting.actions.parts import place, plan_part
from builds.fitting.models import BuildPart
from builds.hilts.models import Section
from builds.progress.models import Build
from builds.progress.states import Kind
from shop.people.models import User
from shop.stores.models import Part

# By the names that they have in the demo's stores.
PARTS = {
    "cell": "Cell 18 × 65, protected",
    "board": "Sound board 18 × 3",
    "wide": "Sound board 22.5 × 3.2",
    "speaker": "Speaker 24",
    "connector": "Blade connector, seven pins",
    "switch": "Panel switch 12",
    "blade": "Pixel blade 25.4, 92 cm",
}
TOO_WIDE = {"Brindle"}  # its board is the wide one


def planned(build: Build, by: User, now: datetime) -> None:
    """Put cell, board, speaker, connector and switches on the list, each in its section."""
    if build.kind not in {Kind.FULL, Kind.UPGRADE} or build.parts.exists() or not build.hilt:
        return
    sections = list(build.hilt.sections.filter(ended_at=None))
    if not sections:
        return
    plan = _Plan(build, by, now)
    grip = _named(sections, "grip", "front grip", "upper")
    body = _named(sections, "body", "grip")
    plan.put("blade", None)
    plan.put("connector", sections[0])
    cell = plan.put("cell", grip)
    plan.put("wide" if build.hilt.name in TOO_WIDE else "board", grip, on=cell)
    plan.put("switch", body)
    plan.put("speaker", sections[-1])


@dataclass
class _Plan:
    build: Build
    by: User
    now: datetime
    position: int = 0

    def put(self, key: str, section: Section | None, on: BuildPart | None = None) -> BuildPart:
        self.now += timedelta(minutes=1)
        self.position += 1
        part = Part.objects.get(name=PARTS[key])
        mark = token("plan", self.build.number, key)
        row = plan_part(self.build, part, 1, section=section, token=mark, by=self.by, now=self.now)
        if section is None:
            return row
        return place(row, section, self.position, on, by=self.by, now=self.now)


def _named(sections: list[Section], *names: str) -> Section:
    by_name = {section.name: section for section in sections}
    return next((by_name[name] for name in names if name in by_name), sections[0])
