"""Tests of bringing a spreadsheet in."""
