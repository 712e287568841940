"""Checks per work place, sampling plans for bought lots, and how much such a plan can see."""
