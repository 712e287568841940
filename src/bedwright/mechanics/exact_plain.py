"""The exact answer of a plain bed under the pad (book `plain-bed`): what the solver of beds is tried on.

A rigid pad, face g(r) above its lowest point, stands d deep in an endless plan of columns k (springs smeared, layers in
series) under a membrane T. Where it touches, the membrane has the pad's form; outside, T (w'' + w'/r) = k w, so
w = w(c) K0(r/l) / K0(c/l), l = sqrt(T/k). Without a corner the slope runs on, which gives the contact radius c:

    g'(c) = (d - g(c)) K1(c/l) / (l K0(c/l))                         else c is the pad's sharp edge
    F = 2 pi [ k * integral_0^c (d - g) r dr + c T (d - g(c)) K1(c/l) / (l K0(c/l)) ]

Without tension: F = 2 pi k * integral (d - g)+ r dr. Frictionless, small slopes, tension as it was. A bed has edges:
one farther than 400 mm from the axis changes the force by less than this is compared at; nearer, this is no answer.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scipy.optimize import brentq

from bedwright.errors import OutsideRange
from bedwright.mechanics.closed_forms import edge_slope
from bedwright.mechanics.pad import Protocol
from bedwright.mechanics.plain_bed import PlainBed

ROOM = 400.0
"""Distance [mm] of an edge from the pad's axis from which on the endless plan is taken as right."""

SHORTEST_REACH = 1e-9
"""Reach [mm] of a membrane below which it is none: its share of the force is below the last figure."""


@dataclass(frozen=True, slots=True)
class ExactPress:
    """depth [mm] of the pad's lowest point, force [N], radius of the contact [mm]."""

    depth: float
    force: float
    contact_radius: float


@dataclass(frozen=True, slots=True)
class Face:
    """The pad's face in closed form: sphere R, joined at radius `joined` to an edge fillet e that touches the side."""

    outer: float
    radius: float
    edge: float

    @property
    def centre(self) -> float:
        """Radius [mm] at which the fillet's centre stands."""
        return self.outer - self.edge

    @property
    def joined(self) -> float:
        """Radius [mm] at which the fillet meets the sphere, both with one tangent."""
        return self.centre / (1 - self.edge / self.radius)

    @property
    def fillet_centre_height(self) -> float:
        """Height [mm] of the fillet's centre above the lowest point."""
        inner = self.radius - self.edge
        return self.edge + self.centre**2 / (inner * (1 + math.sqrt(1 - (self.centre / inner) ** 2)))

    def rise(self, r: float) -> float:
        """g [mm]."""
        if r <= self.joined:
            return self._sphere(r)
        return self.fillet_centre_height - math.sqrt(max(self.edge**2 - (r - self.centre) ** 2, 0.0))

    def slope(self, r: float) -> float:
        """g'; infinite where a fillet turns into the side."""
        if r <= self.joined:
            return r / self.radius / math.sqrt(1 - (r / self.radius) ** 2)
        s = r - self.centre
        left = self.edge**2 - s**2
        return s / math.sqrt(left) if left > 0 else math.inf

    def volume(self, c: float) -> float:
        """Integral of g r dr from the axis to c [mm3]."""
        if c <= self.joined:
            return self._sphere_volume(c)
        return self._sphere_volume(self.joined) + self._fillet_volume(c) - self._fillet_volume(self.joined)

    def _sphere(self, r: float) -> float:
        return r**2 / (self.radius * (1 + math.sqrt(1 - (r / self.radius) ** 2)))

    def _sphere_volume(self, c: float) -> float:
        # by the height of the cap: no difference of large numbers
        h = self._sphere(c)
        return h**2 * (3 * self.radius - 2 * h) / 6

    def _fillet_volume(self, r: float) -> float:
        s, e = min(r - self.centre, self.edge), self.edge
        root = math.sqrt(e**2 - s**2)
        circle = (s * root + e**2 * math.asin(s / e)) / 2
        return self.fillet_centre_height * r**2 / 2 - self.centre * circle + root**3 / 3


def face(protocol: Protocol) -> Face:
    """The face of a pad. Raises OutsideRange for sizes that make no pad."""
    outer, radius, edge = protocol.diameter / 2, protocol.face_radius, protocol.edge_radius
    if not (0 <= edge < outer < radius and outer - edge < radius - edge and math.isfinite(radius)):
        raise OutsideRange(
            f"a pad of {protocol.diameter:g} mm, face radius {radius:g} and edge radius {edge:g} mm has no form; "
            "wanted: edge radius below half the diameter, face radius above it"
        )
    return Face(outer, radius, edge)


def exact_press(plain: PlainBed, depth: float, protocol: Protocol | None = None) -> ExactPress:
    """Force and contact radius of the pad this deep [mm] in an endless plain bed.

    Raises OutsideRange for a depth below nothing and for layers that bend: this form knows columns and one membrane.
    """
    if not (depth >= 0 and math.isfinite(depth)):
        raise OutsideRange(f"a depth of {depth:g} mm is no depth; give 0 or more")
    if any(layer.poisson is not None for layer in plain.layers):
        raise OutsideRange("a layer with nu bends, and the exact plain bed knows columns only; leave nu out")
    pad = face(protocol or Protocol())
    k = plain.foundation
    T = plain.tension if plain.tension / 1000 > k * SHORTEST_REACH**2 else 0.0
    if depth == 0:
        return ExactPress(0.0, 0.0, 0.0)
    c = _touching(pad, depth) if T == 0 else _contact_radius(pad, k, T, depth)
    columns = k * (depth * c**2 / 2 - pad.volume(c))
    line = 0.0 if T == 0 else c * T / 1000 * edge_slope(k, T, c, depth - pad.rise(c))
    return ExactPress(depth, 2 * math.pi * (columns + line), c)


def exact_forces(plain: PlainBed, depths: Sequence[float], protocol: Protocol | None = None) -> list[float]:
    """Forces [N] at depths [mm], as exact_press."""
    return [exact_press(plain, depth, protocol).force for depth in depths]


def _touching(pad: Face, depth: float) -> float:
    """Radius [mm] at which the face is as high as the bed, or the pad's own."""
    if pad.rise(pad.outer) <= depth:
        return pad.outer
    return float(brentq(lambda r: pad.rise(r) - depth, 0.0, pad.outer, xtol=1e-12, rtol=1e-14))


def _contact_radius(pad: Face, k: float, T: float, depth: float) -> float:
    """Where the membrane leaves the pad: the slope of the face rises with r, that of the membrane falls."""

    def over(c: float) -> float:
        left = depth - pad.rise(c)
        if left <= 0:
            return 1.0
        slope = pad.slope(c)
        return 1.0 if math.isinf(slope) else slope - edge_slope(k, T, c, left)

    if over(pad.outer) < 0:
        return pad.outer
    return float(brentq(over, 1e-9 * pad.outer, pad.outer, xtol=1e-12, rtol=1e-14))
