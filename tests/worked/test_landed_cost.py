"""Landed cost. Books: carrier-guide (CIF, duty; its VAT line is derived), vat-faq (what the VAT base holds)."""

from datetime import date
from decimal import Decimal

from bedwright.plants.landed import Buying, DatedRate, landed_cost

DAY = date(2026, 11, 1)


def rate(value: str) -> DatedRate:
    return DatedRate(Decimal(value), DAY, "the book's own figure")


def test_cif_duty_and_vat() -> None:
    lot = Buying(1, Decimal(10000), "FOB", rate("1"), rate("0.04"), rate("0.20"), to_border=Decimal(500))
    landed = landed_cost(lot)
    assert landed.customs_value == 10500
    assert landed.duty == 420
    assert landed.vat_base == 10920
    assert landed.vat == 2184
    assert landed.vat_base + landed.vat == 13104
    assert landed.total == 10920  # VAT comes back: cash, not cost


def test_vat_base_holds_duty_and_transport() -> None:
    # 80 + 35 transport, duty printed 4.02 (3.5 % of 115, half-even), VAT 17.5 % (an old rate): 20.83, charges 24.85
    lot = Buying(
        1,
        Decimal(80),
        "FCA",
        rate("1"),
        rate("0.035"),
        rate("0.175"),
        to_border=Decimal(35),
        vat_recovered=False,
    )
    landed = landed_cost(lot)
    cent = Decimal("0.01")
    duty, vat = landed.duty.quantize(cent), landed.vat.quantize(cent)
    assert duty == Decimal("4.02")
    assert landed.vat_base.quantize(cent) == Decimal("119.02")
    assert vat == Decimal("20.83")
    assert duty + vat == Decimal("24.85")
