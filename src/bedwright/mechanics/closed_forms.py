"""Closed forms of bodies, pressures and beams on columns and membranes: what a solver of beds must come to.

Columns of stiffness k [N/mm3] push back each on its own; a membrane of tension T [N/m] spreads. Lengths mm, forces N,
pressures MPa (N/mm2; 1 kPa is 0.001 MPa). Every form is derived by elementary algebra on Winkler's columns (book
`derived`), beams after `hetenyi-1946`; the Bessel forms solve T w'' + T w'/r = k w outside what presses.

Each form raises OutsideRange where a figure that must be positive is not.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from scipy.special import k0e, k1, k1e, kei

from bedwright.errors import OutsideRange


@dataclass(frozen=True, slots=True)
class Contact:
    """force [N] (of a cylinder [N/mm] of its length), half width or radius of contact [mm], peak pressure [MPa]."""

    force: float
    half_width: float
    peak: float


def paraboloid_on_columns(stiffness: float, radius: float, depth: float) -> Contact:
    """A sphere of this radius read as a paraboloid: F = pi k R d^2, a = sqrt(2 R d), p0 = k d."""
    _positive(stiffness=stiffness, radius=radius, depth=depth)
    return Contact(math.pi * stiffness * radius * depth**2, math.sqrt(2 * radius * depth), stiffness * depth)


def sphere_on_columns(stiffness: float, radius: float, depth: float) -> Contact:
    """A true sphere, no deeper than its radius: F = pi k d^2 (R - d/3), a = sqrt(2 R d - d^2), p0 = k d."""
    _positive(stiffness=stiffness, radius=radius, depth=depth)
    if depth > radius:
        raise OutsideRange(f"a sphere of radius {radius:g} mm pressed {depth:g} mm deep is past its widest")
    force = math.pi * stiffness * depth**2 * (radius - depth / 3)
    return Contact(force, math.sqrt(2 * radius * depth - depth**2), stiffness * depth)


def ellipsoid_on_columns(stiffness: float, radii: tuple[float, float], depth: float) -> Contact:
    """A body of two radii at its lowest point: F = pi k d^2 sqrt(R1 R2). half_width: the longer half axis."""
    _positive(stiffness=stiffness, radius=min(radii), depth=depth)
    force = math.pi * stiffness * depth**2 * math.sqrt(radii[0] * radii[1])
    return Contact(force, math.sqrt(2 * max(radii) * depth), stiffness * depth)


def cylinder_on_columns(stiffness: float, radius: float, depth: float) -> Contact:
    """A lying cylinder read as a parabola, per mm of its length: P = 4/3 k d sqrt(2 R d)."""
    _positive(stiffness=stiffness, radius=radius, depth=depth)
    half = math.sqrt(2 * radius * depth)
    return Contact(4 / 3 * stiffness * depth * half, half, stiffness * depth)


def reach(stiffness: float, tension: float) -> float:
    """How far a membrane carries sideways: l = sqrt(T / k) [mm]; tension [N/m]."""
    _positive(stiffness=stiffness, tension=tension)
    return math.sqrt(tension / 1000 / stiffness)


def flat_punch(stiffness: float, tension: float, radius: float, depth: float) -> float:
    """Force [N] on a flat pad with a sharp edge: k pi R^2 d + 2 pi R T d K1(R/l) / (l K0(R/l)).

    The second part is a line load along the edge: a fixed square grid never meets it well.
    """
    _positive(stiffness=stiffness, tension=tension, radius=radius, depth=depth)
    slope = edge_slope(stiffness, tension, radius, depth)
    return math.pi * radius**2 * stiffness * depth + 2 * math.pi * radius * tension / 1000 * slope


def edge_slope(stiffness: float, tension: float, radius: float, depth: float) -> float:
    """Slope (-dw/dr) of a free membrane just outside a disc that holds it this deep: d K1(R/l) / (l K0(R/l))."""
    length = reach(stiffness, tension)
    # both scaled by the same exp(R/l), so that a short reach gives 1 and not nothing by nothing
    return depth / length * float(k1e(radius / length) / k0e(radius / length))


def membrane_under_disc(stiffness: float, tension: float, radius: float, pressure: float) -> float:
    """Depth [mm] in the middle of a disc of even pressure [MPa]: (q/k) (1 - (a/l) K1(a/l))."""
    _positive(stiffness=stiffness, tension=tension, radius=radius, pressure=pressure)
    ratio = radius / reach(stiffness, tension)
    return pressure / stiffness * (1 - ratio * float(k1(ratio)))


@dataclass(frozen=True, slots=True)
class Beam:
    """A beam of bending stiffness EI [N mm2] on columns of stiffness k [N/mm2] along its length."""

    bending: float
    stiffness: float

    @property
    def decay(self) -> float:
        """lambda = (k / 4 EI)^(1/4) [1/mm]."""
        _positive(bending=self.bending, stiffness=self.stiffness)
        return float((self.stiffness / (4 * self.bending)) ** 0.25)

    def deflection(self, load: float, distance: float = 0.0) -> float:
        """Deflection [mm] of an endless beam at a distance [mm] from a point load [N]."""
        z = self.decay * abs(distance)
        return load * self.decay / (2 * self.stiffness) * math.exp(-z) * (math.cos(z) + math.sin(z))

    def moment(self, load: float) -> float:
        """Bending moment [N mm] of an endless beam under a point load [N]."""
        return load / (4 * self.decay)

    def end_deflection(self, load: float) -> float:
        """Deflection [mm] of the loaded free end of a beam that has one: four times that of an endless one."""
        return 2 * load * self.decay / self.stiffness


def strip_under_line(stiffness: float, tension: float, load: float) -> float:
    """Depth [mm] under a line load [N/mm] across a stretched strip: P / (2 sqrt(T k))."""
    _positive(stiffness=stiffness, tension=tension, load=load)
    return load / (2 * math.sqrt(tension / 1000 * stiffness))


def plate_under_point(stiffness: float, bending: float, load: float, distance: float = 0.0) -> float:
    """Deflection [mm] of an endless plate, D [N mm], at a distance from a point load: -(P l^2 / 2 pi D) kei(r/l)."""
    _positive(stiffness=stiffness, bending=bending, load=load)
    length = float((bending / stiffness) ** 0.25)
    return -load * length**2 / (2 * math.pi * bending) * float(kei(abs(distance) / length))


def series(*stiffnesses: float) -> float:
    """Columns on top of each other: 1/k = sum of 1/k_i, in the unit of what is given."""
    for one in stiffnesses:
        _positive(stiffness=one)
    return 1 / sum(1 / one for one in stiffnesses)


def _positive(**figures: float) -> None:
    for name, value in figures.items():
        if not (value > 0 and math.isfinite(value)):
            raise OutsideRange(f"{name} is {value:g}; this form wants it positive and finite")
