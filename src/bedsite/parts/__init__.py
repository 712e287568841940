"""What every page is drawn with: the sheet, form rows, numbers with their unit, faults, styles."""
