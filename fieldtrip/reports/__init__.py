"""The trip sheet: what it says, and its HTML, text, calendar and GPX."""
