"""Texts that go out: infants and medical claims are refused, with a sentence; what only looks like them is not."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from pydantic import ValidationError

from bedwright.errors import CardRefused
from bedwright.works.beds import BedClaim
from bedwright.works.refused_words import infant_fault, medical_fault
from bedwright.works.trading import Brief, CustomerBed


@pytest.mark.parametrize(
    "text",
    ["for a baby", "BABIES sleep well", "an infant’s bed", "new-born", "newborns", "Toddler bed", "cot", "cots, firm",
     "a nursery", "a child's bed", "the children’s room", "baby's first"],
)  # fmt: skip
def test_infants(text: str) -> None:
    assert "comfort advice for infants is refused here; follow the cot standards" in infant_fault(text)
    assert "an accredited laboratory" in infant_fault(text)


@pytest.mark.parametrize(
    "text",
    ["cures insomnia", "it heals", "a therapy", "Therapeutic", "medical grade", "orthopaedic", "ORTHOPEDIC",
     "for back pain", "relieves pain", "pain relief", "backache"],
)  # fmt: skip
def test_medical(text: str) -> None:
    assert "no medical claim is made here" in medical_fault(text)


@pytest.mark.parametrize(
    "text", ["", "cotton, Scottish wool", "secure, heel, painted", "apricot", "healthy order book"]
)
def test_what_only_looks_like_them(text: str) -> None:
    assert infant_fault(text) == medical_fault(text) == ""


@pytest.mark.parametrize(("words", "says"), [("softer for toddlers", "infants"), ("orthopaedic", "no medical claim")])
def test_claims_and_customers_texts(words: str, says: str) -> None:
    with pytest.raises(ValidationError, match=says):
        BedClaim(position=1, claim="origin", words=words)
    whole = {"position": 1, "bed": "TEAL", "size": "S", "price": Decimal(1), "first_day": date(2026, 1, 5)}
    CustomerBed.model_validate({**whole, "their_name": "Attic Bed"})
    for field in ("label_text", "their_name"):
        with pytest.raises(ValidationError, match=says):
            CustomerBed.model_validate({**whole, field: words})


def test_a_wish_for_an_infant_is_refused_and_names_the_field() -> None:
    whole = {"code": "B", "customer": "C", "size": "S", "quantity": 1, "due": date(2026, 5, 1)}
    Brief.make(**whole, wish="good for my back pain")  # what a customer wishes for is no claim of ours
    with pytest.raises(CardRefused, match=r"wish.*comfort advice for infants is refused here"):
        Brief.make(**whole, wish="firm enough for a baby")
