"""Search across everything the works holds."""
