"""The weigh-up of a brief: started, watched, cancelled; the best set as a table and as a scatter."""
