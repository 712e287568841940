"""Beds side by side: two to four of them, every result, its difference in words, drawings; on one sheet across."""
