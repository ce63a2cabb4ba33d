"""The site: the marks of a year, computed and seen, and the light through it."""
