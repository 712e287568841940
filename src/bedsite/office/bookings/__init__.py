"""The story of one bed on the floor: its steps, what was said of it, and a booking withdrawn with a why."""
