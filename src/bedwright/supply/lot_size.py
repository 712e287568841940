"""How much to order at once: the economic quantity, the best lots for known demand, and stock against surprise."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

from bedwright.errors import OutsideRange


@dataclass(frozen=True, slots=True)
class EconomicLot:
    """Quantity of one order, and what ordering and holding cost together [money per the period of the demand]."""

    quantity: float
    cost: float


@dataclass(frozen=True, slots=True)
class Lots:
    """The cheapest lots for known demand: quantity ordered in each period, total cost, cost up to each period."""

    quantities: tuple[float, ...]
    cost: float
    cost_to: tuple[float, ...]


def economic_lot(demand: float, order_cost: float, holding: float) -> EconomicLot:
    """Q = sqrt(2 D K / h), cost K D / Q + h Q / 2; demand and holding [money for one] per one same period. Book: eoq.

    Raises OutsideRange.
    """
    if not (0 < demand < math.inf and 0 < order_cost < math.inf and 0 < holding < math.inf):
        raise OutsideRange(f"demand {demand}, order cost {order_cost} and holding {holding} must be more than nothing")
    quantity = math.sqrt(2 * demand * order_cost / holding)
    return EconomicLot(quantity, order_cost * demand / quantity + holding * quantity / 2)


def safety_stock(
    service: float, deviation: float, lead: float, demand: float = 0.0, lead_deviation: float = 0.0
) -> float:
    """Stock against surprise: z sqrt(L sigma_d^2 + d^2 sigma_L^2). Book: eoq.

    service: share of cycles without a shortage; deviation [per period], lead [periods], demand [per period],
    lead_deviation [periods]. It takes demand as normal and periods as independent. Raises OutsideRange.
    """
    if not 0.5 <= service < 1 or min(deviation, lead, demand, lead_deviation) < 0:
        raise OutsideRange(f"service {service} must be a share from 0.5 to under 1, all else 0 or more")
    z = NormalDist().inv_cdf(service)
    return z * math.sqrt(lead * deviation**2 + demand**2 * lead_deviation**2)


def best_lots(demand: Sequence[float], set_up: Sequence[float], holding: Sequence[float]) -> Lots:
    """The cheapest lots for known demand, without limits of capacity. Book: wagner-whitin.

    F(t) = min over j of F(j - 1) + K_j + sum of d_k carried from j to k; holding: for one from a period to the next.
    Raises OutsideRange.
    """
    n = len(demand)
    if not n or len(set_up) != n or len(holding) != n or min(*demand, *set_up, *holding, 0.0) < 0:
        raise OutsideRange("demand, set-up and holding: one figure of 0 or more for each period, and one length")
    best = [0.0] + [math.inf] * n
    start = [0] * (n + 1)
    for j in range(1, n + 1):
        carried, held = 0.0, 0.0
        for t in range(j, n + 1):
            if t > j:
                carried += holding[t - 2]
            held += demand[t - 1] * carried
            total = best[j - 1] + set_up[j - 1] + held
            if total < best[t]:
                best[t], start[t] = total, j
    quantities = [0.0] * n
    t = n
    while t > 0:
        quantities[start[t] - 1] = float(sum(demand[start[t] - 1 : t]))
        t = start[t] - 1
    return Lots(tuple(quantities), best[n], tuple(best[1:]))
