"""Strips and bars of a few cells each, in which a date or a share is seen, not computed."""
