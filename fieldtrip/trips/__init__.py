"""Trips: stops, walks, ticks, and how long a leg takes."""
