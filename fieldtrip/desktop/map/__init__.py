"""The map page and its bridge."""
