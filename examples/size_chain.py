"""Example: from the label size to the cut pieces of one bed, line by line, each with the sum that made it.

The last line is the height to which the border is cut [mm].
"""

from pathlib import Path

from bedwright.reckoning import Reckoning
from bedwright.works.workbook.csv_folder import read_csv_folder

job = Reckoning(read_csv_folder(Path(__file__).parent.parent / "demo"))
bed = job.bed("WHIMBREL", "150x200")
for line in bed.chain:
    sizes = " x ".join(f"{size:.1f}" for size in (line.width, line.length, line.height) if size is not None)
    print(f"{line.what:32} {sizes:24} {line.how}")
print(f"{bed.border.cut_height:.1f}")
