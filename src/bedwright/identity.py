"""What makes two things the same: canonical JSON and its hash, codes, works-order ids before release, GS1 numbers.

Decided for ever, since stored ids stand on it: UTF-8, keys sorted by code point, no spaces, no NaN, decimals as
strings without trailing noughts, floats at 9 significant digits.
"""

from __future__ import annotations

import hashlib
import json
import math
import unicodedata
from collections.abc import Mapping
from datetime import UTC, date, datetime, time
from decimal import Decimal
from urllib.parse import quote

from bedwright.errors import NotUnderstood, OutsideRange

FLOAT_DIGITS = 9
LONGEST_CODE = 24
_PLAIN_LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # 32 signs; I, L, O and U left out: misread on the floor
_GTIN_LENGTHS = (8, 12, 13, 14)
_QUALIFIERS = (("22", 20), ("10", 20), ("21", 20))  # variant, batch, serial: order and longest length after GS1
_GS1_SIGNS = frozenset("!\"%&'()*+,-./0123456789:;<=>?ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz")


def canonical(obj: object) -> bytes:
    """The one byte form of plain data: dict with text keys, list, tuple, text, number, bool, None, Decimal, dates.

    Dates are days, moments and wall times. Equal decimals and equal floats (to 9 significant digits) give equal bytes;
    a moment is written in UTC. Raises OutsideRange for NaN or infinity and TypeError for anything else, both naming
    the place.
    """
    plain = _plain(obj, "")
    text = json.dumps(plain, ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":"))
    try:
        return text.encode()
    except UnicodeEncodeError as broken:
        raise OutsideRange(f"half a character at {broken.start} has no UTF-8 form; type the text again") from None


def content_id(obj: object) -> str:
    """sha256 of the canonical bytes, 64 hex digits."""
    return hashlib.sha256(canonical(obj)).hexdigest()


def fold(code: str) -> str:
    """The form by which codes are compared: NFC, case folded. Not for showing."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", code).casefold())


def same_code(a: str, b: str) -> bool:
    """Whether two codes name the same card."""
    return fold(a) == fold(b)


def check_code(text: str) -> str:
    """A code as it is kept: NFC, 1 to 24 characters, no control or invisible signs, no space at either end.

    Raises NotUnderstood.
    """
    code = unicodedata.normalize("NFC", text)
    how = f"use 1 to {LONGEST_CODE} letters, digits and signs"
    if not code.strip():
        raise NotUnderstood(text, "is no code", how)
    if len(code) > LONGEST_CODE:
        raise NotUnderstood(text, f"is a code of {len(code)} characters", how)
    if any(unicodedata.category(sign)[0] == "C" or unicodedata.category(sign) in {"Zl", "Zp"} for sign in code):
        raise NotUnderstood(ascii(text), "has a control or invisible sign in a code", how)
    if code != code.strip():
        raise NotUnderstood(text, "has a space at an end of a code", f"write {code.strip()!r}")
    return code


def works_order_id(order_code: str, line_position: int, size: str) -> str:
    """A works order's id before release: from the order, its line's own number and the size, so a moved row keeps it.

    "W" and 9 signs (45 bits: among 10,000 the chance of any two alike is about 1 in 700,000). After release the
    ledger's number counts. Raises NotUnderstood for a code that is none, OutsideRange for a line under 1.
    """
    if line_position < 1:
        raise OutsideRange(f"order {order_code} has line {line_position}; lines are numbered from 1")
    named = ["works-order", fold(check_code(order_code)), line_position, fold(check_code(size))]
    bits = int.from_bytes(hashlib.sha256(canonical(named)).digest()) >> (256 - 45)
    return "W" + "".join(_PLAIN_LETTERS[(bits >> shift) & 31] for shift in range(40, -1, -5))


def gs1_check_digit(digits: str) -> int:
    """The check digit that belongs after digits: from the right, weights 3, 1, 3, ...

    GS1 General Specifications 7.9.1 (gs1). The same for GTIN-8, -12, -13, -14, GLN and SSCC. Raises NotUnderstood.
    """
    _only_digits(digits, "1 to 17 digits without the check digit", range(1, 18))
    total = sum(int(d) * (3 if place % 2 == 0 else 1) for place, d in enumerate(reversed(digits)))
    return (10 - total % 10) % 10


def check_gtin(text: str) -> str:
    """A GTIN of 8, 12, 13 or 14 digits whose check digit is right; given back as typed. Raises NotUnderstood."""
    _only_digits(text, "8, 12, 13 or 14 digits", _GTIN_LENGTHS)
    return _checked(text)


def check_sscc(text: str) -> str:
    """An SSCC of 18 digits, without its (00), whose check digit is right. Raises NotUnderstood."""
    _only_digits(text, "18 digits", (18,))
    return _checked(text)


def make_sscc(extension: int, company_prefix: str, serial: int) -> str:
    """An SSCC from the extension digit (0 to 9), the firm's GS1 prefix (4 to 12 digits) and a running number.

    GS1 General Specifications (gs1). Raises NotUnderstood, or OutsideRange when the number does not fit.
    """
    _only_digits(company_prefix, "a GS1 company prefix of 4 to 12 digits", range(4, 13))
    room = 16 - len(company_prefix)
    if not 0 <= extension <= 9 or not 0 <= serial < 10**room:
        raise OutsideRange(f"extension {extension} must be 0 to 9 and number {serial} must fit {room} digits")
    body = f"{extension}{company_prefix}{serial:0{room}d}"
    return f"{body}{gs1_check_digit(body)}"


def digital_link(
    gtin: str,
    *,
    variant: str = "",
    batch: str = "",
    serial: str = "",
    attributes: Mapping[str, str] | None = None,
    domain: str = "https://id.gs1.org",
) -> str:
    """A GS1 Digital Link: domain/01/GTIN-14, then variant (22), batch (10), serial (21), then ?AI=value.

    GS1 Digital Link (gs1). One piece is GTIN and serial; one lot is GTIN and batch. Raises NotUnderstood.
    """
    link = f"{domain.rstrip('/')}/01/{check_gtin(gtin).zfill(14)}"
    for (key, longest), value in zip(_QUALIFIERS, (variant, batch, serial), strict=True):
        if not value:
            continue
        if len(value) > longest or not _GS1_SIGNS.issuperset(value):
            raise NotUnderstood(
                value, f"does not fit GS1 field ({key})", f"use 1 to {longest} plain letters and digits"
            )
        link += f"/{key}/{quote(value, safe='')}"
    for joint, (key, value) in zip("?" + "&" * len(attributes or ()), sorted((attributes or {}).items()), strict=False):
        _only_digits(key, "an application identifier of 2 to 4 digits", range(2, 5))
        link += f"{joint}{key}={quote(value, safe='')}"
    return link


def _plain(obj: object, place: str) -> object:
    if obj is None or (isinstance(obj, (bool, int, str)) and type(obj) in {bool, int, str}):
        return obj
    if isinstance(obj, float):
        if not math.isfinite(obj):
            raise OutsideRange(f"{place or 'value'}: {obj} has no canonical form; leave it empty or measure it")
        return float(f"{obj:.{FLOAT_DIGITS}g}") + 0.0  # the sum turns -0.0 into 0.0
    if isinstance(obj, Decimal):
        if not obj.is_finite():
            raise OutsideRange(f"{place or 'value'}: {obj} has no canonical form; leave it empty")
        text = f"{obj:f}"
        text = text.rstrip("0").rstrip(".") if "." in text else text
        return "0" if text in {"-0", ""} else text
    if isinstance(obj, datetime):
        if obj.tzinfo is None:
            raise TypeError(f"{place or 'value'}: a moment without a zone has no canonical form")
        return obj.astimezone(UTC).isoformat()
    if isinstance(obj, date) or (isinstance(obj, time) and obj.tzinfo is None):  # wall time of the works' one zone
        return obj.isoformat()
    if isinstance(obj, Mapping):
        for key in obj:
            if type(key) is not str:
                raise TypeError(f"{place or 'value'}: key {key!r} is not text")
        return {key: _plain(value, f"{place}.{key}" if place else key) for key, value in obj.items()}
    if isinstance(obj, (list, tuple)):
        return [_plain(value, f"{place}[{index}]") for index, value in enumerate(obj)]
    raise TypeError(f"{place or 'value'}: {type(obj).__name__} has no canonical form")


def _only_digits(text: str, wanted: str, lengths: range | tuple[int, ...]) -> None:
    if len(text) not in lengths or not all(sign in "0123456789" for sign in text):
        raise NotUnderstood(text, f"is not {wanted}", "write digits 0 to 9 only, without spaces")


def _checked(text: str) -> str:
    right = gs1_check_digit(text[:-1])
    if int(text[-1]) != right:
        raise NotUnderstood(text, f"has check digit {text[-1]}, which should be {right}", "look for a mistyped digit")
    return text
