"""Slots of a build's card."""
