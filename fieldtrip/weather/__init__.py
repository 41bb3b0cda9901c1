"""Typed forecasts."""
