"""The yearly decision: the screen of the needs, and all of it as text and as JSON."""
