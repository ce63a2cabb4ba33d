"""Orders to the door: parcels, what they are picked from, and when they may travel."""
