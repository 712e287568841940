"""How it behaves: wire, coil, unit, pad test."""
