"""Pages of long work: what was asked, how far it is, what came of it."""
