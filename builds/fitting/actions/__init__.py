"""What changes the parts, the wiring and the plan of a build; and what is refused."""

from builds.fitting.refusals import Overtaken, Refused

__all__ = ["Overtaken", "Refused"]
