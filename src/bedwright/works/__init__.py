"""What we have and know: frozen, self-checking cards, and the works that holds them together."""
