"""Beds: the list, and the sheet of one bed at a size with its pad test and who lies on it."""
