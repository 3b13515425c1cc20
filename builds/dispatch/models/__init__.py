"""Parcels: what leaves, by which service, how it is packed, and with what tracking."""

from builds.dispatch.models.packing import PackedGoods, PackTick, Stowed
from builds.dispatch.models.parcels import Packed, Parcel
from builds.dispatch.models.services import CarrierRule, Service

__all__ = ["CarrierRule", "PackTick", "Packed", "PackedGoods", "Parcel", "Service", "Stowed"]
