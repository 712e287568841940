"""Two profiles: own machine, shared."""
