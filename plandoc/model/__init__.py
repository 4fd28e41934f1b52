"""The resolved plan."""
