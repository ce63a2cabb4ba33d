"""The stock: its screen, and how it prints."""
