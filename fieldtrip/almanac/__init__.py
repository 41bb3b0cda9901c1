"""What a day says at a place, in facts and in words: its light and its tide."""
