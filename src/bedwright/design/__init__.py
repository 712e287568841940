"""What is to be made: the bed at size, made from the cards of a works, and whether its parts fit."""
