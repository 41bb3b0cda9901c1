"""Printed tide tables: the curve between their turns, and passable windows."""
