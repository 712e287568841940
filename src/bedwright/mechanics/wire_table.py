"""The strength and tolerance table of EN 10270-1, for sizes 0.50 to 10.0 mm, and that of ASTM A227, as facts.

EN 10270-1, patented cold drawn unalloyed spring steel wire. DM is as strong as SM and DH as SH at these sizes; SL
starts at 1.00 mm. The upper limit of SM at 1.00 mm is printed as 2220 and as 2250; its neighbours support 2220.
ASTM A227, hard drawn wire, class I: the sizes read of a wire maker's table; they are sizes of the American steel-wire
gauge, printed to a thousandth of an inch.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

# size [mm], tolerance +- [µm], least-greatest tensile strength [MPa] of SL, of SM and DM, of SH and DH
_ROWS = """
0.5 8 - 2200-2470 2480-2740
0.53 8 - 2180-2450 2460-2720
0.56 8 - 2170-2430 2440-2700
0.6 8 - 2140-2400 2410-2670
0.63 8 - 2130-2380 2390-2650
0.65 10 - 2120-2370 2380-2640
0.7 10 - 2090-2350 2360-2610
0.75 10 - 2070-2320 2330-2580
0.8 15 - 2050-2300 2310-2560
0.85 15 - 2030-2280 2290-2530
0.9 15 - 2010-2260 2270-2510
0.95 15 - 2000-2240 2250-2490
1 15 1720-1970 1980-2220 2230-2470
1.05 20 1710-1950 1960-2200 2210-2450
1.1 20 1690-1940 1950-2190 2200-2430
1.2 20 1670-1910 1920-2160 2170-2400
1.25 20 1660-1900 1910-2140 2150-2380
1.3 20 1640-1890 1900-2130 2140-2370
1.4 20 1620-1860 1870-2100 2110-2340
1.5 20 1600-1840 1850-2080 2090-2310
1.6 20 1590-1820 1830-2050 2060-2290
1.7 20 1570-1800 1810-2030 2040-2260
1.8 25 1550-1780 1790-2010 2020-2240
1.9 25 1540-1760 1770-1990 2000-2220
2 25 1520-1750 1760-1970 1980-2200
2.1 25 1510-1730 1740-1960 1970-2180
2.25 25 1490-1710 1720-1930 1940-2150
2.4 25 1470-1690 1700-1910 1920-2130
2.5 25 1460-1680 1690-1890 1900-2110
2.6 25 1450-1660 1670-1880 1890-2100
2.8 30 1420-1640 1650-1850 1860-2070
3 30 1410-1620 1630-1830 1840-2040
3.2 30 1390-1600 1610-1810 1820-2020
3.4 30 1370-1580 1590-1780 1790-1990
3.6 30 1350-1560 1570-1760 1770-1970
3.8 30 1340-1540 1550-1740 1750-1950
4 30 1320-1520 1530-1730 1740-1930
4.25 35 1310-1500 1510-1700 1710-1900
4.5 35 1290-1490 1500-1680 1690-1880
4.75 35 1270-1470 1480-1670 1680-1860
5 35 1260-1450 1460-1650 1660-1840
5.3 35 1240-1430 1440-1630 1640-1820
5.6 40 1230-1420 1430-1610 1620-1800
6 40 1210-1390 1400-1580 1590-1770
6.3 40 1190-1380 1390-1560 1570-1750
6.5 40 1180-1370 1380-1550 1560-1740
7 40 1160-1340 1350-1530 1540-1710
7.5 45 1140-1320 1330-1500 1510-1680
8 45 1120-1300 1310-1480 1490-1660
8.5 45 1110-1280 1290-1460 1470-1630
9 45 1090-1260 1270-1440 1450-1610
9.5 50 1070-1250 1260-1420 1430-1590
10 50 1060-1230 1240-1400 1410-1570
"""


_A227 = """
0.041 255-293
0.048 248-286
0.054 243-279
0.062 237-272
0.072 232-266
0.080 227-261
0.092 220-253
0.106 216-248
0.162 200-230
0.192 192-221
0.207 190-218
"""  # size [in], tensile strength of class I [ksi]
MM_PER_INCH, MPA_PER_KSI = 25.4, 6.894757


@dataclass(frozen=True, slots=True)
class Listed:
    """One listed size: diameter [mm], tolerance each way [mm], strengths (least, greatest) [MPa] by grade."""

    diameter: float
    tolerance: float
    strengths: dict[str, tuple[int, int]]


def _listed(row: str) -> Listed:
    size, tolerance, *bands = row.split()
    strengths: dict[str, tuple[int, int]] = {}
    for grades, band in zip((("SL",), ("SM", "DM"), ("SH", "DH")), bands, strict=True):
        if band != "-":
            least, greatest = band.split("-")
            strengths |= dict.fromkeys(grades, (int(least), int(greatest)))
    return Listed(float(size), int(tolerance) / 1000, strengths)


@cache
def sizes() -> tuple[Listed, ...]:
    """Every listed size, thinnest first. EN 10270-1."""
    return tuple(_listed(row) for row in _ROWS.split("\n") if row)


@cache
def a227_sizes() -> tuple[tuple[float, float, float], ...]:
    """(diameter [mm], least, greatest tensile strength [MPa]) of class I by listed size, thinnest first. ASTM A227."""
    found = []
    for row in _A227.split("\n"):
        if row:
            size, band = row.split()
            least, greatest = (float(ksi) * MPA_PER_KSI for ksi in band.split("-"))
            found.append((float(size) * MM_PER_INCH, least, greatest))
    return tuple(found)
