"""Pages at the machines: one station for each work place."""
