"""A bed that has settled: its fillings thinner by what they lose, the share of it that the user says."""

from __future__ import annotations

from bedwright.design.bed_at_size import BedAtSize
from bedwright.errors import OutsideRange
from bedwright.mechanics.bed_model import BedModel, bed_model
from bedwright.works.materials import Filling


def settled_model(bed: BedAtSize, face: str = "A", share: float = 1.0) -> tuple[BedModel, tuple[str, ...]]:
    """The model of a bed whose fillings have lost `share` of their set (the middle of its range, by their cards).

    Fillings settle first (common practice, no source); border, edge and wire are left as new. Their law is taken as
    unchanged over what is left. Returns the model and what is to be said: fillings whose set nobody knows stay as new.
    Raises OutsideRange for a share that is none.
    """
    if not 0 <= share <= 1:
        raise OutsideRange(f"a share of {share:g} of the set; give 0 (new) to 1 (all of it)")
    model = bed_model(bed, face)
    unknown = []
    fillings = {
        part.code: part
        for part in (*(layer.part for layer in bed.layers), *(ply for panel in bed.panels for ply in panel.plies))
        if isinstance(part, Filling)
    }
    for code in model.fillings:
        filling = fillings.get(code)
        low = filling.set_share if filling is not None else None
        if filling is None or low is None:
            unknown.append(code)
            continue
        high = low if filling.set_share_high is None else filling.set_share_high
        model = model.with_thickness(code, 1 - share * (low + high) / 200)
    notes = [f"settled: fillings have lost {100 * share:.3g} % of their set, as far as their cards know it"]
    if unknown:
        notes.append(f"no set is known of {', '.join(sorted(unknown))}: taken as new")
    return model, tuple(notes)
