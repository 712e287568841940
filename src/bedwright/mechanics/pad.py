"""The loading pad of the EN 1957 test: its face, and how it is set on the bed.

Pad of 355 mm, spherical face R 800, front edge R 20 (book `en-1957-pad`); test to 1000 N, hardness at 210, 275, 340 N.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
_GAUSS = np.polynomial.legendre.leggauss(12)


@dataclass(frozen=True, slots=True)
class Protocol:
    """A pad test: pad sizes [mm], greatest force [N], forces at which the slope is read [N]."""

    diameter: float = 355.0
    face_radius: float = 800.0
    edge_radius: float = 20.0
    greatest_force: float = 1000.0
    slope_forces: tuple[float, float, float] = (210.0, 275.0, 340.0)

    def rise(self, r: Array) -> Array:
        """Height of the face above its lowest point at radius r [mm]; infinite outside the pad.

        The edge fillet touches sphere and side: its centre stands at R_pad - r_e from the axis.
        """
        R, e, outer = self.face_radius, self.edge_radius, self.diameter / 2
        centre = outer - e
        joined = centre * R / (R - e)
        height = R - np.sqrt((R - e) ** 2 - centre**2)
        sphere = R - np.sqrt(np.maximum(R**2 - r**2, 0.0))
        fillet = height - np.sqrt(np.maximum(e**2 - (r - centre) ** 2, 0.0))
        face = np.where(r <= joined, sphere, fillet)
        return np.asarray(np.where(r <= outer + 1e-12, face, np.inf), dtype=np.float64)

    def mean_rise(self, low: float, high: float) -> float:
        """Mean height of the face over a ring between two radii [mm], by area; infinite outside the pad."""
        high = min(high, self.diameter / 2)
        if low >= high:
            return float(np.inf)
        r = (high + low) / 2 + (high - low) / 2 * _GAUSS[0]
        return float(np.sum(_GAUSS[1] * r * self.rise(r)) / np.sum(_GAUSS[1] * r))

    @property
    def cap_height(self) -> float:
        """Height of the spherical cap of this diameter without its edge radius [mm]."""
        return float(self.face_radius - np.sqrt(self.face_radius**2 - (self.diameter / 2) ** 2))

    @property
    def area(self) -> float:
        """Projected area [mm2]."""
        return float(np.pi * self.diameter**2 / 4)


@dataclass(frozen=True, slots=True)
class Spot:
    """Where the pad stands: x across, y along from the corner at the head [mm]; and which face is up."""

    x: float
    y: float
    face: str = "A"


@dataclass(frozen=True, slots=True)
class PadGrid:
    """Points of the pad: x, y from its axis [mm], area of each [mm2], rise of the face [mm]; all of one shape."""

    x: Array
    y: Array
    area: Array
    rise: Array


def pad_grid(protocol: Protocol, rings: int = 120, sectors: int = 48) -> PadGrid:
    """Polar Gauss grid over the pad: exact for smooth fields, panels end where sphere meets fillet."""
    outer = protocol.diameter / 2
    joined = (outer - protocol.edge_radius) * protocol.face_radius / (protocol.face_radius - protocol.edge_radius)
    nodes, weights = np.polynomial.legendre.leggauss(rings // 2)
    r_parts, w_parts = [], []
    for low, high in ((0.0, joined), (joined, outer)):
        r = (high + low) / 2 + (high - low) / 2 * nodes
        r_parts.append(r)
        w_parts.append(weights * (high - low) / 2 * r)
    r, w = np.concatenate(r_parts), np.concatenate(w_parts)
    angle = (np.arange(sectors) + 0.5) * 2 * np.pi / sectors
    x = np.outer(r, np.cos(angle))
    y = np.outer(r, np.sin(angle))
    area = np.outer(w, np.full(sectors, 2 * np.pi / sectors))
    rise = np.repeat(protocol.rise(r)[:, None], sectors, axis=1)
    return PadGrid(x.ravel(), y.ravel(), area.ravel(), rise.ravel())
