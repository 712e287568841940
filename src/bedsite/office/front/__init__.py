"""The works: what it is and what it holds."""
