"""Tests of the room of calendar feeds."""
