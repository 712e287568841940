"""Example: the usual and the fine-wire open-coil unit of the demo at 150 x 200: how many coils, how much steel.

What these two cards give, and no rule: with another wire, ring, turns or lacing the finer unit takes more steel.
The last line is the steel of the fine unit over that of the usual one.
"""

from pathlib import Path

from bedwright.reckoning import Reckoning
from bedwright.works.workbook.csv_folder import read_csv_folder

job = Reckoning(read_csv_folder(Path(__file__).parent.parent / "demo"))
steel = {}
for code in ("WHIMBREL", "HERON"):
    bed, bill = job.bed(code, "150x200"), job.bill(code, "150x200")
    lattice = bed.unit.lattice
    print(f"{bed.unit.card.code}: {lattice.across} across x {lattice.along} rows = {bed.spring_count} coils")
    for row in bill.rows:
        if row.kind == "wire":
            print(f"  {row.what}: {row.mass:.2f} kg of {row.name}")
    print(f"  steel in all, clips too: {bill.steel_mass:.2f} kg")
    steel[code] = bill.steel_mass
print(f"{steel['HERON'] / steel['WHIMBREL']:.3f}")
