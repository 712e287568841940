"""User text is data; the same bytes whatever the zone; what the typesetter says is heard."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import date

import pytest

from bedwright.errors import NotPrinted
from bedwright.papers import typeset as module
from bedwright.papers.figures import Issue
from bedwright.papers.product_label import CERTIFIES_NOTHING

NASTY = '#panic("x") *bold* _under_ $x^2$ <label> @ref [box] `raw` = head \\ "quotes" // no // #sys.inputs'
ISSUE = Issue("Works & <Co>", 3, "abcdef0123456789", date(2026, 3, 2), "0.1.0")


def label(**more: object) -> dict[str, object]:
    one = {
        "bed": NASTY, "size": "1", "side": "s", "customer": "", "facts": [["maker", NASTY]], "hazard": "",
        "careless": "", "missing": [NASTY], "cautions": [], **more,
    }  # fmt: skip
    return {"issue": ISSUE.plain(), "labels": [one], "certifies": CERTIFIES_NOTHING}


def test_markup_in_text_is_printed_as_it_stands(read) -> None:  # type: ignore[no-untyped-def]
    printed = module.typeset("product_label", label(), title=NASTY, as_of=ISSUE.as_of)
    plain = read(printed.pdf).text.replace(" ", "")
    assert plain.count(NASTY.replace(" ", "")) == 3
    assert printed.written_out == ()


def test_missing_letters_are_written_out_and_said_on_the_sheet(read) -> None:  # type: ignore[no-untyped-def]
    printed = module.typeset("product_label", label(bed="Teal \U0001f600"), title="x", as_of=ISSUE.as_of)
    assert printed.written_out == ("U+1F600",)
    text = read(printed.pdf).text
    assert "Teal [U+1F600]" in text
    assert "stand as their number: U+1F600" in text


def test_a_refusal_of_the_typesetter_is_an_error() -> None:
    with pytest.raises(NotPrinted, match="refused the sheet"):
        module.typeset("product_label", {"issue": ISSUE.plain(), "labels": [{}]}, title="x", as_of=ISSUE.as_of)


def test_a_warning_of_the_typesetter_is_an_error(tmp_path, monkeypatch) -> None:  # type: ignore[no-untyped-def]
    (tmp_path / "warns.typ").write_text('#set text(font: "No Such Family")\nx')
    monkeypatch.setattr(module, "SHEETS", tmp_path)
    module._compiler.cache_clear()
    try:
        with pytest.raises(NotPrinted, match="unknown font family"):
            module.typeset("warns", {}, title="x", as_of=ISSUE.as_of)
    finally:
        module._compiler.cache_clear()


def test_numbers_are_made_text_before_they_come_here() -> None:
    with pytest.raises(TypeError, match="float is not plain data"):
        module.typeset("product_label", label(size=1.5), title="x", as_of=ISSUE.as_of)


def test_same_bytes_in_another_zone_and_locale() -> None:
    code = (
        "import hashlib;from datetime import date;from bedwright.papers.typeset import typeset;"
        "from bedwright.papers.figures import Issue;"
        "i=Issue('W',1,'c'*64,date(2026,3,2),'0');"
        "d={'issue':i.plain(),'labels':[],'certifies':''};"
        "print(hashlib.sha256(typeset('product_label',d,title='t',as_of=i.as_of).pdf).hexdigest())"
    )
    said = set()
    for zone, locale, seed in (("UTC", "C.UTF-8", "1"), ("Asia/Tokyo", "de_DE.UTF-8", "2")):
        env = {**os.environ, "TZ": zone, "LC_ALL": locale, "PYTHONHASHSEED": seed}
        done = subprocess.run([sys.executable, "-c", code], env=env, capture_output=True, text=True, check=True)
        said.add(done.stdout)
    assert len(said) == 1
