"""Example: how stiff is one hourglass coil, how sure is that, and what does it take.

Run it with `.venv/bin/python examples/one_coil.py`. The last line is the rate with ends that cannot tilt [N/mm].
"""

from bedwright.mechanics.coil import coil_answer, graded_coil

coil = graded_coil(
    "hourglass-parabolic",
    end_diameter=75,  # mean diameters of coil [mm]
    middle_diameter=45,
    live_turns=5,
    free_height=130,
    wire_diameter=2.2,
    grade="SM",
)
found = coil_answer(coil, "SM", [10, 25, 40])

for at in found.at:
    print(f"{at.compression:3.0f} mm down: {at.force:.2f} N, {at.stress:.0f} MPa in the widest coil")
print(f"wire {found.wire_length:.0f} mm, {found.mass:.1f} g, solid at {found.solid_height:.1f} mm")
print(f"plain formula {found.plain_rate:.4f} N/mm; tolerances leave {found.rate.low:.2f} to {found.rate.high:.2f}")
print(f"{found.rate.rate:.4f}")
