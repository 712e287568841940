"""The site and the ledger of a works, on top of the core."""
