"""Health and figures for whoever looks after the machine."""
