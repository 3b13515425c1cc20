"""Tests of the fitting room."""
