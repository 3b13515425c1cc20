"""Parcels and the day that they leave."""
