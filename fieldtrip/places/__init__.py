"""Locations, vantage points, subjects, access routes, refuges, hazards, notes."""
