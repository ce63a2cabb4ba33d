"""Plant labels: for which lots (lots.py), what stands on one (label.py), its grid (sheets.py), as text, as PDF."""
