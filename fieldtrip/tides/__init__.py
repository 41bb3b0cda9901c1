"""The tide from printed tables or harmonic constants, and when a way is open."""
