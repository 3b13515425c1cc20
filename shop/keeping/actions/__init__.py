"""The deeds of keeping: back up, restore, check, and what the clock does of it."""

from shop.keeping.actions.backing_up import BackedUp, backup
from shop.keeping.actions.restoring import Restored, restore
from shop.keeping.archive import Refused

__all__ = ["BackedUp", "Refused", "Restored", "backup", "restore"]
