"""What must be bought, how much and by when: dated demands as plain rows in, shortages and order dates out."""
