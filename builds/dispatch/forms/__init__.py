"""What is typed about parcels."""
