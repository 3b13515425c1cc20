"""Draws the demo's pictures: sober technical drawings, where a shop would have photographs."""

from io import BytesIO

from PIL import Image, ImageDraw, ImageFont

WIDTH, HEIGHT = 1600, 1200


def picture(hilt: str, view: str, size: tuple[int, int] = (WIDTH, HEIGHT)) -> bytes:
    """One view of a hilt as a JPEG."""
    sheet = Image.new("RGB", (WIDTH, HEIGHT), "#E9ECEE")
    draw = ImageDraw.Draw(sheet)
    draw.rectangle((160, 500, 1440, 700), fill="#9AA6B0", outline="#12233A", width=4)
    draw.text((160, 1080), f"{hilt} · {view}", "#12233A", ImageFont.load_default(40))
    out = BytesIO()
    sheet.resize(size, Image.Resampling.LANCZOS).save(out, "JPEG", quality=88)
    return out.getvalue()
