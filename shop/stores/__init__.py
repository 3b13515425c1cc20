"""Parts and their typed specs, the stock ledger, kits, suppliers, purchase orders."""
