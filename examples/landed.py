"""Example: what a bought bed costs when it stands in our stock, beside our own.

Every rate is an invented, dated input. Without a record that trade remedies were looked up the figure is not final.
The last line is the landed cost of one good bed.
"""

from datetime import date
from decimal import Decimal

from bedwright.plants.landed import Buying, DatedRate, RemedyCheck, landed_cost, per_unit_if_exchange_moves

day = date(2026, 3, 2)
lot = Buying(
    units=380,
    price=Decimal(158),
    trade_term="FOB",
    exchange=DatedRate(Decimal("0.79"), day, "an invented rate"),
    duty=DatedRate(Decimal("0.06"), day, "an invented tariff line"),
    vat=DatedRate(Decimal("0.20"), day, "an invented rate"),
    to_border=Decimal(4100),
    after_border=Decimal(980),
    remedy=RemedyCheck(day, "an invented notice, read by a person"),
    bad_share=Decimal("0.015"),
    checking=Decimal(620),
    finance_days=Decimal(85),
    finance_rate=Decimal("0.075"),
)
found = landed_cost(lot)
for line in found.lines:
    print(f"{line.what:44} {line.amount:12.2f}  {line.kind}")
dearer, cheaper = per_unit_if_exchange_moves(lot, Decimal("0.05"))
print(f"if their money moves 5 %: {cheaper:.2f} to {dearer:.2f}")
print("final" if not found.missing else f"not final: {'; '.join(found.missing)}")
print(f"{found.per_good_unit:.2f}")
