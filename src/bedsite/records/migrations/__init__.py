"""One step for each stored form of the tables; kept for ever."""
