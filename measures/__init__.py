"""Speed and quality of plans, as ratios side by side in one run. Never red or green; see docs/why/measured.md.

A measure is a module with TITLE (one line) and `run() -> list[tuple[str, str]]`: what was measured, and the figure
with its unit and what it is set beside.
"""
