"""The demo's whole job in a process of its own: time of each room, its share, peak resident memory."""

from __future__ import annotations

import json
import subprocess
import sys

from measures._published import ROOT, Figure

TITLE = "the demo's whole job, room by room"
_WORK = """
import json, resource, sys, time
from pathlib import Path
began = time.perf_counter()
from bedwright.identity import canonical
from bedwright.printing import files
from bedwright.reckoning import Reckoning
from bedwright.summary import summary
from bedwright.works.workbook.csv_folder import read_csv_folder
laps = {}
def lap(name):
    global began
    now = time.perf_counter()
    laps[name] = now - began
    began = now
lap("start and imports")
works = read_csv_folder(Path(sys.argv[1])); lap("cards read")
job = Reckoning(works); keys = job.keys
faults = job.fit_faults; lap("beds at size and fit")
[job.bill(*key) for key in keys]; lap("bill")
[job.curve(*key) for key in keys]; lap("pad test")
job.cuts; lap("cuts")
job.plan; lap("plan")
job.plan_faults; lap("audit of the plan")
job.loads; lap("loading")
[job.cost(*key) for key in keys]; job.supply; job.offers; lap("cost, supply, plants")
found = canonical(summary(job, {})); lap("summary")
count = sum(1 for _ in files(job, lambda done, of: None)); lap("papers")
peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
print(json.dumps({"laps": laps, "peak": peak, "beds": len(keys), "bytes": len(found), "files": count}))
"""


def run() -> list[Figure]:
    said = subprocess.run(
        [sys.executable, "-c", _WORK, str(ROOT / "demo")], capture_output=True, text=True, check=True
    ).stdout
    found = json.loads(said.splitlines()[-1])
    laps, whole = found["laps"], sum(found["laps"].values())
    told = [(name, f"{seconds:.2f} s, {100 * seconds / whole:.0f} % of the whole") for name, seconds in laps.items()]
    return [
        *told,
        (f"the whole, {found['beds']} beds at size", f"{whole:.1f} s"),
        ("peak resident memory", f"{found['peak']:.0f} MB"),
        ("files written", f"{found['files']}"),
        ("summary, canonical", f"{found['bytes'] / 1000:.0f} kB"),
    ]
