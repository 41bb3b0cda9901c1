"""What each panel says, as frozen values; no Qt in here."""
