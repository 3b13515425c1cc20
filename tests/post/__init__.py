"""Tests of the post room."""
