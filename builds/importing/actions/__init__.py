"""What changes imports: begun, read, matched, checked, brought in, taken back; and refusals."""

from builds.importing.actions.refused import Overtaken, Refused

__all__ = ["Overtaken", "Refused"]
