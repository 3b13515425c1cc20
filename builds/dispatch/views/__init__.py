"""The pages of parcels."""
