"""Template tags of the parts."""
