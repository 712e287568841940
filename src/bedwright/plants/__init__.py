"""Beds and parts bought finished from other factories: what they truly cost when they stand in our stock."""
