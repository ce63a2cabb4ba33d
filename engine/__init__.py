"""Widger's horticulture and arithmetic: pure, without a clock, a terminal or a user interface."""
