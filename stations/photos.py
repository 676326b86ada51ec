"""A photo made anew from its pixels, so that nothing a camera wrote beside them is kept or shown."""

from dataclasses import dataclass
from io import BytesIO

from PIL import Image, ImageOps, UnidentifiedImageError

LARGEST = 20 * 1024 * 1024  # [bytes] of an upload
MOST_PIXELS = 80_000_000
LONGEST = 1600  # [pixels] of the longer side that is kept
QUALITY = 82


class WrongPicture(ValueError):
    """The file cannot be taken; the sentence says why, and what to do."""


@dataclass(frozen=True)
class Picture:
    """A JPEG without metadata, upright."""

    jpeg: bytes
    width: int
    height: int


def cleaned(content: bytes) -> Picture:
    """The picture alone, turned upright and no larger than a page needs.

    Place, time, camera, thumbnail and comments stay behind: what is written is encoded anew from the pixels.
    Raises WrongPicture.
    """
    if len(content) > LARGEST:
        raise WrongPicture(f"The file has more than {LARGEST // 2**20} MB. Make it smaller first.")
    try:
        opened = Image.open(BytesIO(content), formats=["JPEG", "PNG", "WEBP"])
        if opened.width * opened.height > MOST_PIXELS:
            raise WrongPicture("The picture has too many pixels. Make it smaller first.")
        opened.draft("RGB", (LONGEST, LONGEST))  # a JPEG is read no larger than needed
        upright = ImageOps.exif_transpose(opened)
    except (UnidentifiedImageError, Image.DecompressionBombError, OSError, ValueError, SyntaxError) as error:
        if isinstance(error, WrongPicture):
            raise
        raise WrongPicture("That is no picture the hub can read: use a JPEG, PNG or WebP.") from error
    bare = Image.new("RGB", upright.size, "white")
    bare.paste(upright, mask=upright.convert("RGBA").getchannel("A") if "A" in upright.mode else None)
    bare.thumbnail((LONGEST, LONGEST))
    written = BytesIO()
    bare.save(written, "JPEG", quality=QUALITY, optimize=True, progressive=True)
    return Picture(written.getvalue(), *bare.size)
