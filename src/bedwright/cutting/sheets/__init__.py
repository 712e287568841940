"""Sheets: foam and pad rectangles from sheets by two cuts: bands first, then pieces out of each band."""
