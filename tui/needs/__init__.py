"""The yearly decision as text and as JSON."""
