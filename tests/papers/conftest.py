"""Sheets of the small works, printed once, and the means to read them back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType

import numpy as np
import pypdfium2
import pytest
import zxingcpp

from bedwright.bill.make import make_bill
from bedwright.bill.rows import Bill
from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.buildup import bed_at_size
from bedwright.marks.evidence import judged_claims
from bedwright.marks.label_facts import LabelFacts, label_facts
from bedwright.papers.figures import Issue
from bedwright.works.works import Works

BEDS = (("SNIPE", "150"), ("KNOT", "135"), ("RUFF", "90"))


@dataclass(frozen=True)
class Read:
    """A PDF read back: text with every gap as one space, pages, and the codes found on each page."""

    text: str
    pages: int
    sizes: tuple[tuple[float, float], ...]
    raw: bytes

    def codes(self, page: int = 0, scale: float = 3.0) -> list[str]:
        """Texts of the codes on a page, as a decoder that is not ours reads them."""
        picture = pypdfium2.PdfDocument(self.raw)[page].render(scale=scale).to_pil().convert("L")
        return [found.text for found in zxingcpp.read_barcodes(np.asarray(picture))]


@pytest.fixture(scope="session")
def read() -> Callable[[bytes], Read]:
    def reading(pdf: bytes) -> Read:
        document = pypdfium2.PdfDocument(pdf)
        texts = [page.get_textpage().get_text_range() for page in document]
        # a hyphen at the end of a line comes back as U+FFFE
        text = " ".join(" ".join(texts).replace("\ufffe", "-").split())
        return Read(text, len(document), tuple(page.get_size() for page in document), pdf)

    return reading


@pytest.fixture(scope="session")
def issue(small_works: Works) -> Issue:
    about = small_works.about
    return Issue(about.name, about.revision, small_works.content(), about.as_of, "0.1.0")


@pytest.fixture(scope="session")
def bed_of(small_works: Works) -> Callable[[str, str], BedAtSize]:
    return lambda bed, size: bed_at_size(small_works, small_works.beds[bed], small_works.sizes[size])


@pytest.fixture(scope="session")
def bill_of(small_works: Works) -> Callable[[BedAtSize], Bill]:
    return lambda bed: make_bill(small_works, bed)


@pytest.fixture(scope="session")
def label_of(small_works: Works) -> Callable[[BedAtSize], LabelFacts]:
    def facts(bed: BedAtSize) -> LabelFacts:
        return label_facts(small_works, bed, judged_claims(small_works, bed, small_works.about.as_of))

    return facts


@pytest.fixture(scope="session")
def named() -> Callable[[BedAtSize, str], BedAtSize]:
    """The bed under another name: what a user may type."""
    return lambda bed, name: replace(bed, bed=bed.bed.model_copy(update={"name": name}))


@pytest.fixture(scope="session")
def made() -> ModuleType:
    """tests/papers/lying_made.py: persons lying, made up for drawings and papers."""
    spec = spec_from_file_location("lying_made", Path(__file__).parent / "lying_made.py")
    assert spec is not None
    assert spec.loader is not None
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
