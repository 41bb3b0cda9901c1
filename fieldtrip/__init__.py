"""Fieldtrip: plans, checks and remembers a landscape photographer's days on a coast."""
