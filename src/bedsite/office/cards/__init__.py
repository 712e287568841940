"""One set of pages for every kind of card: listed, made, edited, compared, merged, brought back, taken in and out."""
