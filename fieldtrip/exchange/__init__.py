"""Text and files of others: records out of bytes, and back."""
