"""What one bed takes: materials, cut sizes, mass, carbon, operations and minutes."""
