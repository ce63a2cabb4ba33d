"""The plantings: what stands where, drawn to scale, and the walk."""
