"""One module per dialog."""
