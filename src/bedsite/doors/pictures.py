"""Pictures that people send: judged by content, drawn anew, so that nothing of the file itself is kept or shown.

Only JPEG, PNG and WebP. Place, camera, comments, colour tables and whatever was hung on behind are left out; the
picture is turned the way its camera meant. One picture at a time is unpacked, for a large one takes much memory.
"""

from __future__ import annotations

import io
import threading
from collections.abc import Callable

from PIL import Image, ImageOps

from bedwright.errors import NotReadable

LARGEST = 8 * 1024 * 1024
PIXELS = 40_000_000
QUALITY = 88
_SIGNS: dict[str, Callable[[bytes], bool]] = {
    "JPEG": lambda head: head.startswith(b"\xff\xd8\xff"),
    "PNG": lambda head: head.startswith(b"\x89PNG\r\n\x1a\n"),
    "WEBP": lambda head: head.startswith(b"RIFF") and head[8:12] == b"WEBP",
}
MEDIA = {"JPEG": "image/jpeg", "PNG": "image/png", "WEBP": "image/webp"}
_one = threading.Lock()


def take_picture(data: bytes) -> tuple[bytes, str]:
    """The picture drawn anew, and its media type. Raises NotReadable: too large, no such picture, or a broken one."""
    if len(data) > LARGEST:
        raise NotReadable(f"this picture has {len(data) / 1e6:.1f} MB; send one of {LARGEST / 1e6:.1f} MB at most")
    kind = next((name for name, fits in _SIGNS.items() if fits(data[:16])), None)
    if kind is None:
        raise NotReadable("this is no picture that is taken in here; send a JPEG, PNG or WebP")
    with _one:
        return _drawn_anew(data, kind), MEDIA[kind]


def _drawn_anew(data: bytes, kind: str) -> bytes:
    try:
        with Image.open(io.BytesIO(data), formats=[kind]) as found:
            width, height = found.size
            if width * height > PIXELS:
                raise NotReadable(
                    f"this picture has {width} x {height} points; send one of {PIXELS // 1_000_000} million at most"
                )
            found.load()
            turned = ImageOps.exif_transpose(found)
        plain = turned.convert("RGBA" if kind != "JPEG" and turned.has_transparency_data else "RGB")
        plain.info.clear()
        out = io.BytesIO()
        plain.save(out, format=kind, **({} if kind == "PNG" else {"quality": QUALITY}))
    except NotReadable:
        raise
    except Image.DecompressionBombError:
        raise NotReadable(
            f"this picture unpacks to far more points than {PIXELS // 1_000_000} million; send a smaller one"
        ) from None
    except Exception:  # a broken file fails in as many ways as there are parts of the format
        raise NotReadable("this picture is broken or cut off; open it, save it anew and send that") from None
    return out.getvalue()
