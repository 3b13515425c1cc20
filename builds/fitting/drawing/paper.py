"""Paper: the scale that a drawing is printed in, and how large it comes out there."""

SHEET_MM = 250.0  # what A4 and Letter both have between their margins, lying
TALL_MM = 150.0
SCALES = (0.2, 0.25, 0.4, 0.5, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 10.0)


def on_paper(
    width: float, height: float, per_mm: float, most_mm: float = SHEET_MM, tall_mm: float = TALL_MM
) -> tuple[str, str, str]:
    """Width and height in mm on paper, and the scale in words, as large as goes on the sheet."""
    natural_w, natural_h = width / per_mm, height / per_mm
    least = max(natural_w / most_mm, natural_h / tall_mm)
    scale = next((each for each in SCALES if each >= least), least)
    said = f"1:{scale:g}" if scale >= 1 else f"{1 / scale:g}:1"
    return f"{natural_w / scale:.1f}mm", f"{natural_h / scale:.1f}mm", said
