"""What a bed costs and what it must be sold for: plain numbers in, unrounded decimals out."""
