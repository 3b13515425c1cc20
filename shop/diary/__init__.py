"""Working hours, closures, public holidays and dispatch days."""
