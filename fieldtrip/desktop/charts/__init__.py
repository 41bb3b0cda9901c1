"""One module per hand-painted chart."""
