"""The batches: every lot by season, its whole life, and the form for a new one."""
