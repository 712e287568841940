"""Do the parts fit? Every fault of a bed at size, gathered; nothing is changed and nothing is left out.

Each check is a fact of geometry, or common practice with no source; the limits that are not geometry are house rules.
A grave fault means the bed cannot be made as the cards say; the others are told for a person to judge.
"""

from __future__ import annotations

from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.fit_claims import claim_faults
from bedwright.design.fit_core import border_faults, layer_faults, unit_faults
from bedwright.design.fit_cover import closing_faults, height_faults, panel_faults, tuft_faults, wrap_faults
from bedwright.errors import Fault
from bedwright.works.works import Works


def fit(works: Works, bed: BedAtSize) -> tuple[Fault, ...]:
    """Every fault of a bed at size, grave ones first."""
    faults = [
        *unit_faults(works, bed),
        *border_faults(works, bed),
        *panel_faults(bed),
        *layer_faults(bed),
        *tuft_faults(bed),
        *height_faults(works, bed),
        *closing_faults(bed),
        *wrap_faults(works, bed),
        *claim_faults(bed),
    ]
    return tuple(sorted(faults, key=lambda fault: not fault.grave))
