"""Tests of the house room."""
