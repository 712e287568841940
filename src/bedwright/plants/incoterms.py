"""Who bears which cost under the eleven Incoterms 2020 rules, as far as a landed cost needs it.

Incoterms 2020 (incoterms-2020): the eleven rules and their two groups seen, the detail rows from memory. The rules'
own text decides; this table only says which costs the price already carries.
"""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.errors import OutsideRange


@dataclass(frozen=True, slots=True)
class Incoterm:
    """True where the seller bears it, so that the price carries it.

    to_ship: haulage to the port or first carrier. insurance: the seller must insure. duty: import clearance, duty and
    import tax. sea_only: meant for goods handed over on board a ship.
    """

    code: str
    loading: bool
    export_clearance: bool
    to_ship: bool
    main_carriage: bool
    insurance: bool
    to_destination: bool
    unloading: bool
    duty: bool
    sea_only: bool = False
    book: str = "incoterms-2020"

    @property
    def says(self) -> str:
        """The caution where containers are bought under a rule that is meant for goods put on board, else empty."""
        if not self.sea_only:
            return ""
        return (
            f"{self.code} is meant for goods handed over at the ship; a container at a terminal wants FCA, CPT or CIP"
        )


def _term(code: str, seller: str, *, sea_only: bool = False) -> Incoterm:
    load, clear, to_ship, carry, insure, to_destination, unload, duty = (mark == "S" for mark in seller)
    return Incoterm(code, load, clear, to_ship, carry, insure, to_destination, unload, duty, sea_only)


# columns: loading, export, to ship, main carriage, insurance, to destination, unloading, duty (S seller, B buyer).
# FCA: loading by the seller at his own premises. CFR to CIP: unloading by the buyer unless the carriage includes it.
INCOTERMS: dict[str, Incoterm] = {
    term.code: term
    for term in (
        _term("EXW", "BBBBBBBB"),
        _term("FCA", "SSBBBBBB"),
        _term("FAS", "SSSBBBBB", sea_only=True),
        _term("FOB", "SSSBBBBB", sea_only=True),
        _term("CFR", "SSSSBBBB", sea_only=True),
        _term("CIF", "SSSSSBBB", sea_only=True),
        _term("CPT", "SSSSBBBB"),
        _term("CIP", "SSSSSBBB"),
        _term("DAP", "SSSSBSBB"),
        _term("DPU", "SSSSBSSB"),
        _term("DDP", "SSSSBSBS"),
    )
}


def incoterm(code: str) -> Incoterm:
    """The rule named. Raises OutsideRange naming the eleven."""
    found = INCOTERMS.get(code.upper())
    if found is None:
        raise OutsideRange(f"trade term {code!r} is none of {', '.join(INCOTERMS)}")
    return found
