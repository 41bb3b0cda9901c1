"""Locations, vantage points, subjects, routes, refuges, hazards, notes, permits."""
