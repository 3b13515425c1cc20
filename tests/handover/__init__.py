"""Tests of the hand-over room."""
