"""Direct sun at a spot: the sun's path over a day, and the crowns that stand before it."""
