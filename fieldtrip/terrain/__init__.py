"""The shape of the ground: horizon, sight, shade, drops and legs, from heights."""
