"""Example: the lacing tie of an open unit, from what a ruler says when one coil is loaded.

The readings are invented: 4 kg on one coil of a bare laced unit, heights before less heights after [mm], by how many
coils away across (along the lacing) and along. Put your own in. The last line is the tie for `lacing_tie` [N/mm].
"""

from bedwright.mechanics.measured_ties import measured_ties

load = 4 * 9.81
sunk = {
    (0, 0): 20.5,
    (1, 0): 10.0,
    (2, 0): 4.0,
    (3, 0): 1.5,
    (0, 1): 6.5,
    (0, 2): 2.5,
    (1, 1): 4.5,
}
found = measured_ties(load, sunk, rings_bend=True)
print(f"coil rate     {found.rate:.2f} ± {found.rate_half:.2f} N/mm")
print(f"lacing tie    {found.tie:.2f} ± {found.tie_half:.2f} N/mm")
print(f"ring bending  {found.bending:.2f} ± {found.bending_half:.2f} N/mm")
print(f"the worst reading is {found.worst:.1f} mm from what such a lattice sinks")
print(f"{found.tie:.2f}")
