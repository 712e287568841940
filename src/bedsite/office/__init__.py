"""Pages for people at desks: a folder per page."""
