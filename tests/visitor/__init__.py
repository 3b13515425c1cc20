"""Tests of the customer's page."""
