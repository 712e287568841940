"""Slits: anything cut from a length: border strips, tape, flange, rod and strip steel, rolls across their width."""
