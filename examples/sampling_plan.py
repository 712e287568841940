"""Example: how many beds of a bought lot of 380 to look at, and what may be wrong with them.

Classes and limits are the usual buying default; agree your own before the lot is made. The last line is the chance
[%] that a lot with 4 in 100 beds majorly wrong is accepted all the same: a sample never proves a lot.
"""

from bedwright.quality.bought_lot import bought_lot_plan
from bedwright.quality.oc import accept_binomial

plan = bought_lot_plan(380)
print(f"lot of {plan.lot}: take {plan.take} at random")
for row in plan.rows:
    print(f"  {row.name}: of the first {row.n}, accept at {row.accept} or fewer, refuse at {row.reject} or more")
for sentence in plan.says:
    print(sentence)
major = next(row for row in plan.rows if row.name == "major")
print(f"{100 * accept_binomial(major.n, major.accept, 0.04):.1f}")
