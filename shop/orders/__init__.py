"""What a customer agreed to, item by item, and the answers that bind."""
