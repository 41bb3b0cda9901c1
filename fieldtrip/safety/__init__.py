"""One function per rule, and the checklist that runs them."""
