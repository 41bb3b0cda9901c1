"""Sun and Moon: positions, events of a day, light."""
