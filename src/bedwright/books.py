"""Every book, paper and standard that a number rests on, once, by a short key.

Two keys are not books: `common-practice` (a fact of the trade, no source) and `from-memory` (remembered, not seen; a
default that a user may change, never a test's only proof). `derived` is arithmetic on the inputs stated beside it.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Book:
    """key, full reference, and how it was read: seen | opening seen | from memory | measured | derived."""

    key: str
    reference: str
    read: str


BOOKS: dict[str, Book] = {
    book.key: book
    for book in (
        Book("common-practice", "common practice of the trade, no source", "common practice"),
        Book("from-memory", "remembered, not seen in a source", "from memory"),
        Book("derived", "worked out here from the inputs stated beside it", "derived"),
        Book("invented", "invented for the demo, no source and no meaning outside it", "invented"),
        Book("shigley-11", "Budynas & Nisbett, Shigley's Mechanical Engineering Design, 11th ed., ch. 10", "seen"),
        Book("bhandari-10", "Bhandari, Design of Machine Elements, example 10.1 (companion result file)", "seen"),
        Book("en-13906-1", "EN 13906-1 cold coiled compression springs; printed verification sheet S.198", "seen"),
        Book("en-10270-1", "EN 10270-1 patented cold drawn unalloyed spring steel wire", "seen"),
        Book("en-15800", "EN 15800 tolerances of cold coiled compression springs (abstract)", "opening seen"),
        Book("astm-a227", "ASTM A227 hard drawn wire, strength table class I and II", "seen"),
        Book("astm-a228", "ASTM A228 music wire, constants in Shigley", "seen"),
        Book("astm-a229", "ASTM A229 oil tempered wire, constants in Shigley", "seen"),
        Book("bs-3737", "BS 3737:1964 Imperial Standard Wire Gauge (withdrawn)", "seen"),
        Book("steel-wire-gauge", "American steel-wire gauge, three gauge pages that agree", "seen"),
        Book("awg", "American wire gauge, one value (13 is 1.829 mm) on a gauge page", "seen"),
        Book("conical-springs", "Castigliano: 1/k = 8/(G d^4) * integral of D^3 dN; Mahieu 2011 for slices", "seen"),
        Book("love-helix", "Love, Mathematical Theory of Elasticity: helical springs at large deflection", "seen"),
        Book(
            "fe-coils",
            "finite elements, large rotations, coils of springs_fe_*.csv; a finer beam, 14 coils more",
            "measured",
        ),
        Book("jacobson-2022", "Jacobson 2022, coils of 32 used mattresses, J. Insomnia & Sleep Disorders", "seen"),
        Book("zimmerli", "Zimmerli's data for unpeened wire, after Shigley", "seen"),
        Book("en-1957", "EN 1957:2012 beds and mattresses: functional characteristics (extracts)", "opening seen"),
        Book("en-1957-pad", "loading pad 355 mm, R 800, edge 20, as explained for a method taken from EN 1957", "seen"),
        Book("vlaovic-2024", "Vlaovic, Klaric, Domljan 2024, Applied Sciences 14(21) 10016", "seen"),
        Book("plain-bed", "exact plain bed: springs, layers and membrane under the pad (Bessel)", "measured"),
        Book("hetenyi-1946", "Hetenyi, Beams on Elastic Foundation, 1946: endless and ending beams", "from memory"),
        Book(
            "ansur-2",
            "Gordon et al. 2014, 2012 Anthropometric Survey of U.S. Army Personnel, NATICK/TR-15/007: percentiles and "
            "regressions worked out from its public file of 4,082 men and 1,986 women",
            "measured",
        ),
        Book(
            "de-leva-1996",
            "de Leva 1996, Adjustments to Zatsiorsky-Seluyanov's segment inertia parameters, J Biomech 29(9):1223-30, "
            "table 4 (a transcription)",
            "seen",
        ),
        Book(
            "pmat-data",
            "Pouyan et al. 2017, in-bed pressure maps of 13 persons and more (IEEE BHI): worked out from the open "
            "files, each map rescaled to the person's weight, the pitch of the sheet assumed",
            "measured",
        ),
        Book("gao-2024", "Gao et al. 2024, Sci Rep 14:15238: vertical sum 98.67 +- 7.21 % of weight", "opening seen"),
        Book(
            "foam-mattresses-2020",
            "Wound Management & Prevention 2020, 66(8):26-31: 20 persons on five hospital foams",
            "opening seen",
        ),
        Book(
            "thompson-bishop-1992",
            "Thompson-Bishop & Mottola 1992, Decubitus 5(2):42: trochanter, heel",
            "opening seen",
        ),
        Book(
            "sacrum-pads",
            "a Japanese nursing journal (vol. 10, title not seen): 106 young persons, pads of 8 cm, springs and cotton",
            "opening seen",
        ),
        Book("hong-2022", "Hong et al. 2022, Biology 11(7) 1030: spine on foams of 20, 42 and 120 lb", "opening seen"),
        Book(
            "vitale-2023", "Vitale et al. 2023, Eur Radiol Exp 7:47: lordosis on a mattress and a board", "opening seen"
        ),
        Book(
            "side-lying-springs",
            "conference abstract, BMJ Open Respir Res 2019, 6(S1):A1.2: 60 persons on the side, three spring units",
            "opening seen",
        ),
        Book("en-1334", "EN 1334 measuring of beds and mattresses (explainer)", "seen"),
        Book("uk-sizes", "UK mattress sizes as in six independent size guides", "seen"),
        Book("bs-7177", "BS 7177:2008+A1:2011 ignition resistance of mattresses (a test laboratory's table)", "seen"),
        Book("bs-5852", "BS 5852:2006 sources and limits (extract)", "seen"),
        Book("ffr-1988", "UK Furniture and Furnishings (Fire) (Safety) Regulations 1988/1324", "seen"),
        Book("si-2025-531", "UK SI 2025/531 amending the 1988 regulations, in force 30 Oct 2025", "seen"),
        Book("gpsr", "Regulation (EU) 2023/988 general product safety", "seen"),
        Book("eu-1007-2011", "Regulation (EU) 1007/2011 fibre names and labelling, kept in GB", "seen"),
        Book("cfr-1632", "16 CFR 1632 mattress flammability, cigarettes", "seen"),
        Book("cfr-1633", "16 CFR 1633 mattress flammability, open flame", "seen"),
        Book("law-label", "US law label, Arkansas s20-27-2702 and summaries", "seen"),
        Book("en-16890", "EN 16890:2017+A1:2021 cot mattresses", "seen"),
        Book("mark-grades", "a test body's published mattress grades", "seen"),
        Book("consumer-limits", "a consumer laboratory's reference limits, in a page reporting its test", "seen"),
        Book("longer-roller", "a maker association's page: its own roller protocol of 45,000 cycles", "seen"),
        Book("ecolabel-mattress", "Commission Decision 2014/391/EU, ecolabel for bed mattresses", "from memory"),
        Book(
            "deb-2002",
            "Deb et al. 2002, non-dominated sorting: ranks, crowding, constraints before aims",
            "from memory",
        ),
        Book("zdt-2000", "Zitzler, Deb & Thiele 2000, test problems of two aims with known fronts", "from memory"),
        Book("dtlz-2002", "Deb, Thiele, Laumanns & Zitzler 2002, test problems of three aims", "from memory"),
        Book("clopper-pearson", "Clopper & Pearson 1934, exact interval of a binomial share", "from memory"),
        Book(
            "rasmussen-2006", "Rasmussen & Williams 2006, Gaussian processes; leaving one out, eq. 5.12", "from memory"
        ),
        Book("student-t", "Student 1908; t table of any statistics handbook", "from memory"),
        Book("nist-strd", "NIST reference datasets, nonlinear regression, Misra1a, as seven programs print it", "seen"),
        Book("bayes-normal", "normal posteriors, Laplace, chi-square: any textbook of inverse problems", "from memory"),
        Book("tension-field", "tension field theory: cloth carries pull and wrinkles instead of push", "from memory"),
        Book("thread-formulas", "thread per length of seam by stitch class, textile technology pages", "seen"),
        Book("iso-4915", "ISO 4915 stitch types", "from memory"),
        Book("pfa-1994", "PFA joint industry foam standards and guidelines, 1994", "seen"),
        Book("film-gauge", "UK film gauge: micron = gauge / 4; LDPE 0.92 g/cm3", "seen"),
        Book("hse-indg143", "HSE INDG143 / L23 lifting filter (workplace poster and training text)", "seen"),
        Book("iso-668", "ISO 668 / 1496 freight containers, least inside sizes", "from memory"),
        Book("trailer-sizes", "semi-trailer and van sizes, freight pages", "seen"),
        Book("roll-pack", "a maker's data sheet for rolled pocket beds", "seen"),
        Book("mil-105e", "MIL-STD-105E sampling procedures and tables, 1989 (public domain)", "seen"),
        Book("lawson-2023", "Lawson 2023, sampling plan vignette", "seen"),
        Book("nibs-ac", "NIBS tables 1-A and 1-B developed from MIL-STD-105E", "seen"),
        Book("cfr-42-140", "7 CFR 42.140(c), operating characteristic, as read", "seen"),
        Book("cima-p1", "CIMA P1 workbook 2018, p. 13", "seen"),
        Book("absorption-exercise", "overhead absorption exercise", "seen"),
        Book("ba2-2018", "BA2 workbook 2018, p. 81", "seen"),
        Book("variance-exercise", "worked fixed and variable overhead", "seen"),
        Book("time-study", "worked time-study answers (two conventions)", "seen"),
        Book("learning-curve", "Wright 1936; two models told apart in a paper, App. 2", "seen"),
        Book("carrier-guide", "a public carrier's guide to CIF, duty and VAT", "seen"),
        Book("vat-faq", "a carrier's questions and answers: VAT base includes duty and transport", "seen"),
        Book("incoterms-2020", "Incoterms 2020: who bears which cost (detail rows from memory)", "seen"),
        Book("gs1", "GS1 General Specifications 7.9.1, mod-10 check digit", "seen"),
        Book("iso-15417", "ISO/IEC 15417 Code 128", "from memory"),
        Book("iso-18004", "ISO/IEC 18004 QR code", "from memory"),
        Book("wagner-whitin", "Wagner & Whitin 1958, dynamic lot size", "seen"),
        Book("factory-physics", "Hopp & Spearman, Factory Physics, section 2.3.3", "seen"),
        Book(
            "martello-toth", "Martello & Toth 1990, Knapsack Problems: bin packing lower bounds L1, L2", "from memory"
        ),
        Book("dosa-2007", "Dosa 2007: first fit decreasing is at most 11/9 OPT + 6/9", "from memory"),
        Book(
            "fekete-schepers", "Fekete & Schepers 2001, dual feasible functions and bounds for packing", "from memory"
        ),
        Book("shelf-packing", "Coffman, Garey, Johnson & Tarjan 1980, level algorithms: FFDH", "from memory"),
        Book(
            "berkey-wang-1987", "Berkey & Wang 1987, 2-D bin packing classes, with a public list of best values", "seen"
        ),
        Book(
            "hopper-turton-2001", "Hopper & Turton 2001, strips built from a perfect cut: optimum = area/width", "seen"
        ),
        Book("bischoff-ratcliff-1995", "Bischoff & Ratcliff 1995, container sets BR, with a public list", "seen"),
        Book("bpp-instances", "bin packing examples PM of a public collection of 1-D instances and bounds", "seen"),
        Book("taillard-1993", "Taillard 1993, flow shop instances: generator, seeds and best-known list", "seen"),
        Book("naderi-2023", "Naderi, Ruiz & Roshanaei 2023, hybrid flow shops, and the list of best values", "seen"),
        Book("nawaz-1983", "Nawaz, Enscore & Ham 1983, flow shop heuristic", "from memory"),
        Book("little-1961", "Little 1961: work in hand = throughput x lead time", "from memory"),
        Book(
            "mrp-record",
            "time-phased record of a seat subassembly, lecture deck (after Krajewski, from memory)",
            "seen",
        ),
        Book("mrp-lot-for-lot", "worked lot-for-lot exercise with a lead of two weeks, tutorsglobe page", "seen"),
        Book("eoq", "economic order quantity and safety stock, standard textbook formulas", "from memory"),
        Book("floor-defaults", "typical values of floor practice, low confidence, change me", "from memory"),
        Book("carbon-memory", "carbon factors remembered from inventories and eco-profiles, change me", "from memory"),
    )
}


def book(key: str) -> Book:
    """The book behind a key. Raises KeyError naming the key when it is not listed here."""
    return BOOKS[key]
