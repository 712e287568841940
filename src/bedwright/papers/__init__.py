"""What is printed: one sheet per file, drawings as SVG. Papers print; they never compute a result and never judge."""
