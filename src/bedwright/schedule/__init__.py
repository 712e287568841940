"""Who, where and when: the plan of making, from plain integers to slips of the day, with its own checker."""
