"""The marrying list: for each next van the sets that are not complete."""
