"""The landed chain: what the price carries, what makes it final, what is refused."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from bedwright.errors import NotKnown, OutsideRange
from bedwright.plants.incoterms import INCOTERMS, incoterm
from bedwright.plants.landed import (
    Buying,
    DatedRate,
    RemedyCheck,
    final_per_unit,
    landed_cost,
    per_unit_if_exchange_moves,
)

DAY = date(2026, 11, 1)
LOT = Buying(
    units=100,
    price=Decimal(120),
    trade_term="FOB",
    exchange=DatedRate(Decimal("0.80"), DAY, "customs period rate"),
    duty=DatedRate(Decimal("0.04"), DAY, "tariff page"),
    vat=DatedRate(Decimal("0.20"), DAY, "tariff page"),
    to_border=Decimal(400),
    after_border=Decimal(300),
    remedy=RemedyCheck(DAY, "remedies register"),
)


def test_the_chain_by_hand() -> None:
    # goods 100 x 120 x 0.8 = 9600; value 10000; duty 400; base 10700; total 9600 + 400 + 400 + 300 = 10700
    landed = landed_cost(LOT)
    assert (landed.customs_value, landed.duty, landed.vat_base, landed.vat) == (10000, 400, 10700, 2140)
    assert landed.total == 10700
    assert final_per_unit(landed) == 107


def test_cost_lines_add_up() -> None:
    lot = replace(LOT, checking=Decimal(250), other=Decimal(90), finance_days=Decimal(73), finance_rate=Decimal("0.10"))
    for term in INCOTERMS:
        for recovered in (True, False):
            landed = landed_cost(replace(lot, trade_term=term, vat_recovered=recovered))
            assert sum(line.amount for line in landed.lines if line.kind == "cost") == landed.total
    # 73 days are a fifth of a year: 2 % of 9600 + 400 + 400 + 300 + 250 + 90
    assert landed_cost(lot).total == Decimal("11040") * Decimal("1.02")


def test_good_units_carry_the_bad() -> None:
    assert landed_cost(replace(LOT, bad_share=Decimal("0.20"))).per_good_unit == Decimal("133.75")


def test_not_final_without_a_remedy_check() -> None:
    for remedy in (None, RemedyCheck(DAY, " ")):
        with pytest.raises(NotKnown, match="trade remedies were looked up"):
            final_per_unit(landed_cost(replace(LOT, remedy=remedy)))


def test_a_remedy_is_duty() -> None:
    dear = landed_cost(replace(LOT, remedy=RemedyCheck(DAY, "register", Decimal("1.50"))))
    assert dear.duty == Decimal("15400")


def test_not_final_without_freight_or_source() -> None:
    bare = replace(LOT, to_border=Decimal(0), duty=replace(LOT.duty, source=""))
    missing = landed_cost(bare).missing
    assert any("FOB leaves the main carriage" in line for line in missing)
    assert any("duty rate of 2026-11-01 has no source" in line for line in missing)


def test_what_a_price_delivered_carries_is_taken_off() -> None:
    # DAP 9600 with 600 of it for transport after import: value 9000 + 400
    dap = landed_cost(replace(LOT, trade_term="DAP", price_after_border=Decimal(600)))
    assert dap.customs_value == 9400
    # DDP: (9600 - 600)/1.04 is the value, and the duty is in the price
    ddp = landed_cost(
        replace(LOT, trade_term="DDP", price_after_border=Decimal(600), to_border=Decimal(0), after_border=Decimal(0))
    )
    assert ddp.customs_value * Decimal("1.04") == pytest.approx(Decimal(9000))
    assert ddp.total == 9600


def test_the_exchange_rate_moves_it_both_ways() -> None:
    # goods 9600 +- 960, duty on that: 4 %
    dearer, cheaper = per_unit_if_exchange_moves(LOT, Decimal("0.10"))
    assert (dearer, cheaper) == (Decimal("116.984"), Decimal("97.016"))


def test_cautions() -> None:
    assert any("terminal wants FCA" in line for line in landed_cost(LOT).says)
    assert any("already carries freight" in line for line in landed_cost(replace(LOT, trade_term="CIF")).says)


def test_only_two_rules_oblige_insurance() -> None:
    assert [code for code, term in INCOTERMS.items() if term.insurance] == ["CIF", "CIP"]
    assert [code for code, term in INCOTERMS.items() if term.sea_only] == ["FAS", "FOB", "CFR", "CIF"]
    assert incoterm("ddp").duty
    with pytest.raises(OutsideRange, match="'DDU' is none of EXW"):
        incoterm("DDU")


def test_all_faults_at_once() -> None:
    wrong = replace(LOT, units=0, bad_share=Decimal(2), duty=replace(LOT.duty, rate=Decimal(4)), other=Decimal(-1))
    with pytest.raises(OutsideRange) as refused:
        landed_cost(wrong)
    for words in ("0 units", "bad share 2", "duty rate 4 must be a share", "other -1"):
        assert words in str(refused.value)


def test_more_transport_than_price() -> None:
    with pytest.raises(OutsideRange, match="more than the price"):
        landed_cost(replace(LOT, trade_term="DAP", price_after_border=Decimal(99999)))
