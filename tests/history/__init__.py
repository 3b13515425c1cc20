"""Tests of the history room."""
