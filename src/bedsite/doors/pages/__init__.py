"""Pages of the doors: coming in, my account, people and rights, tablets, the audit."""
