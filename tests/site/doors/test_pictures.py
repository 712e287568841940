"""Pictures: bombs, broken files and files that are two things at once."""

from __future__ import annotations

import io
import struct
import zlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, PngImagePlugin

from bedsite.doors.pictures import LARGEST, take_picture
from bedwright.errors import NotReadable


def picture(kind: str = "JPEG", size: tuple[int, int] = (40, 30), mode: str = "RGB", **more: object) -> bytes:
    out = io.BytesIO()
    Image.radial_gradient("L").resize(size).convert(mode).save(out, kind, **more)
    return out.getvalue()


@pytest.mark.parametrize(("kind", "media"), [("JPEG", "image/jpeg"), ("PNG", "image/png"), ("WEBP", "image/webp")])
def test_a_picture_is_drawn_anew(kind: str, media: str) -> None:
    data, found = take_picture(picture(kind))
    assert found == media
    with Image.open(io.BytesIO(data)) as drawn:
        assert (drawn.format, drawn.size) == (kind, (40, 30))
        assert (
            abs(drawn.convert("L").getpixel((20, 15)) - Image.radial_gradient("L").resize((40, 30)).getpixel((20, 15)))
            < 9
        )


def test_nothing_of_the_file_is_kept_but_the_picture() -> None:
    exif = Image.Exif()
    exif[0x010E] = "PLACE-OF-WORK"  # a description
    exif[0x0112] = 6  # lies on its side
    words = PngImagePlugin.PngInfo()
    words.add_text("Comment", "PLACE-OF-WORK", zip=False)
    hung_on = b"<script>alert('PLACE-OF-WORK')</script>"
    sent = {
        "jpeg": picture("JPEG", exif=exif, comment=b"PLACE-OF-WORK", icc_profile=b"PLACE-OF-WORK") + hung_on,
        "png": picture("PNG", pnginfo=words, exif=exif, icc_profile=b"PLACE-OF-WORK") + hung_on,
        "webp": picture("WEBP", exif=exif, icc_profile=b"PLACE-OF-WORK", xmp=b"PLACE-OF-WORK"),
    }
    for name, data in sent.items():
        drawn, _ = take_picture(data)
        assert b"PLACE-OF-WORK" in data and b"PLACE-OF-WORK" not in drawn and b"<script" not in drawn, name
        with Image.open(io.BytesIO(drawn)) as found:
            assert found.size == (30, 40) and not found.getexif() and "icc_profile" not in found.info, name


def bomb(width: int, height: int) -> bytes:
    """A small PNG that says it is huge, and is."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    packer = zlib.compressobj(9)
    rows = b"".join(packer.compress(b"\0" * (width // 8 + 1)) for _ in range(height)) + packer.flush()
    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


@pytest.mark.parametrize("size", [(8000, 5001), (16000, 16000), (60000, 60000)])
def test_a_bomb_is_refused_by_its_size_before_it_is_unpacked(size: tuple[int, int]) -> None:
    data = bomb(*size)
    assert len(data) < 600_000
    with pytest.raises(NotReadable, match="40 million"):
        take_picture(data)


def test_text_that_unpacks_to_much_is_refused_or_left_out() -> None:
    body = b"Comment\0\0" + zlib.compress(b"A" * 200_000_000, 9)
    chunk = struct.pack(">I", len(body)) + b"zTXt" + body + struct.pack(">I", zlib.crc32(b"zTXt" + body))
    plain = picture("PNG")
    try:
        drawn, _ = take_picture(plain[:33] + chunk + plain[33:])
    except NotReadable:
        return
    assert len(drawn) < 10_000


@pytest.mark.parametrize(
    "data",
    [b"", b"<svg xmlns='http://www.w3.org/2000/svg'><script>1</script></svg>", b"<!doctype html><p>x",
     b"GIF89a" + b"\0" * 99, b"%PDF-1.7", b"BM" + b"\0" * 99, b"II*\0" + b"\0" * 99, b"\0\0\0\x20ftypheic",
     b"%!PS-Adobe-3.0 EPSF-3.0"],
)  # fmt: skip
def test_anything_else_is_refused(data: bytes) -> None:
    with pytest.raises(NotReadable, match="JPEG, PNG or WebP"):
        take_picture(data)


def test_another_kind_under_a_known_first_sign_is_refused() -> None:
    with pytest.raises(NotReadable, match="broken or cut off"):
        take_picture(b"\xff\xd8\xff" + b"<svg onload=alert(1)>" * 50)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_file_cut_off_is_refused(kind: str) -> None:
    whole = picture(kind, size=(400, 300))
    for share in (0.1, 0.5, 0.9):
        with pytest.raises(NotReadable, match="broken or cut off"):
            take_picture(whole[: int(len(whole) * share)])


def test_a_file_too_large_is_refused_unread() -> None:
    with pytest.raises(NotReadable, match="MB at most"):
        take_picture(picture() + b"\0" * LARGEST)


@settings(max_examples=150, deadline=None)
@given(kind=st.sampled_from(["JPEG", "PNG", "WEBP"]), at=st.floats(0, 1), put=st.binary(min_size=1, max_size=12))
def test_a_spoilt_file_is_drawn_or_refused_and_nothing_else(kind: str, at: float, put: bytes) -> None:
    whole = picture(kind)
    place = int(at * (len(whole) - 1))
    try:
        _, media = take_picture(whole[:place] + put + whole[place + len(put) :])
    except NotReadable:
        return
    assert media.startswith("image/")
