"""The station of a work place: next, in work, done, trouble; one scan does it."""
