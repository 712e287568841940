"""Drawings as SVG: own marks, no script, width, height and viewBox always given; the same on page and paper."""
