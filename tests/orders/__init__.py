"""Tests of the orders room."""
