"""Pages of kept papers: their list, and the very bytes that were printed."""
