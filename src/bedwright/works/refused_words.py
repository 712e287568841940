"""Words that a text which goes out to a buyer may not hold: comfort for infants, and medical claims.

Whole words, capitals do not count. Which words stand here is our own list (common practice, no source): it catches the
plain cases and no more, so a person still reads what is claimed.
"""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import AfterValidator

from bedwright.works.card import Text

_INFANTS = re.compile(
    r"\b(bab(?:y|ies)(?:['’]s?)?|infants?(?:['’]s?)?|infancy|new-?borns?|toddlers?(?:['’]s?)?|cots?|cot-?beds?|cribs?|"
    r"nurser(?:y|ies)|child(?:ren)?['’]s)(?!\w)",
    re.IGNORECASE,
)
_MEDICAL = re.compile(
    r"\b(cures?|heals?|healing|therap(?:y|ies)|therapeutic(?:ally)?|medical(?:ly)?|medicinal(?:ly)?|clinical(?:ly)?|"
    r"orthopa?edic(?:ally|s)?|back\s?aches?|pains?|painless|arthritis|sciatica|scoliosis|insomnia|bed\s?sores?|"
    r"pressure\s(?:sores?|ulcers?))\b",
    re.IGNORECASE,
)


def infant_fault(text: str) -> str:
    """Why a text is refused that speaks of infants; "" where it does not."""
    found = _INFANTS.search(text)
    if found is None:
        return ""
    return (
        f"speaks of {found.group()!r}: comfort advice for infants is refused here; follow the cot standards and an "
        "accredited laboratory"
    )


def medical_fault(text: str) -> str:
    """Why a text is refused that claims something medical; "" where it does not."""
    found = _MEDICAL.search(text)
    return f"says {found.group()!r}: no medical claim is made here; take the word out" if found is not None else ""


def _no_infants(text: str) -> str:
    fault = infant_fault(text)
    if fault:
        raise ValueError(fault)
    return text


def _not_refused(text: str) -> str:
    faults = [fault for fault in (infant_fault(text), medical_fault(text)) if fault]
    if faults:
        raise ValueError("; ".join(faults))
    return text


WishText = Annotated[Text, AfterValidator(_no_infants)]
"""A customer's wish: infants are refused."""

SaleText = Annotated[Text, AfterValidator(_not_refused)]
"""What a buyer reads: infants and medical claims are refused."""
