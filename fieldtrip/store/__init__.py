"""Keeps records in one SQLite file."""
