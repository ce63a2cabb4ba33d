"""Plant labels: what stands on one (label.py), on which grid (sheets.py), as text (text.py), as PDF (pdf.py)."""
