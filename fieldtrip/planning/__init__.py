"""From a trip's records to the scheduler's question, and from its plan to records."""
