"""The first page after signing in."""
