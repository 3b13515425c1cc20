"""What every page shares: access by name, the htmx rule, headers, throttles, waking tasks."""
