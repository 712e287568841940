"""Lays: quilted panels side by side across a roll, row after row along it, several plies sharing one lay."""
