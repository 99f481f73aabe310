"""Measures printed guides as a hand with a ruler would: the pages of a PDF as pixels, nothing else.

Usage: measure_pdf.py FILE [FIRST [COUNT]]. Prints a list of pages as JSON, mm from each page's upper left.
"""

import json
import sys

import numpy as np
import pypdfium2

DPI = 300
MM = DPI / 25.4


def groups(hits):
    """Middles of runs of neighbouring True, pixels."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], hits.view(np.int8), [0]))))
    return [(a + b) / 2 for a, b in edges.reshape(-1, 2)]


def with_run(mask, length):
    """Rows in which so many pixels in a row are True."""
    sums = np.cumsum(np.pad(mask, ((0, 0), (1, 0))), axis=1, dtype=np.int32)
    return (sums[:, length:] - sums[:, :-length] == length).any(1)


def box(mask, left, top):
    """Bounds of what is marked, mm."""
    rows, columns = np.flatnonzero(mask.any(1)), np.flatnonzero(mask.any(0))
    if rows.size == 0:
        return None
    return [round(v, 3) for v in ((left + columns[0]) / MM, (top + rows[0]) / MM, (left + columns[-1] + 1) / MM, (top + rows[-1] + 1) / MM)]


def page(of):
    width, height = of.get_size()
    pixels = of.render(scale=DPI / 72).to_numpy()[:, :, 2::-1].astype(np.int16)  # BGR to RGB
    red, green, blue = pixels[:, :, 0], pixels[:, :, 1], pixels[:, :, 2]
    black = pixels.max(2) < 120
    foot = round(pixels.shape[0] - 26 * MM)
    head = round(34 * MM)
    # The ruler's tallest strokes, a centimetre apart.
    strokes = groups(with_run((pixels[foot:].max(2) < 190).T, round(3.5 * MM)))
    # Straight lines longer than 60 mm: the plate's edges.
    drawing = black[head:foot]
    long_lines = [groups(with_run(part, round(60 * MM))) for part in (drawing.T, drawing)]
    # Registration: dashed lines across the whole, and arms of 8 mm on them.
    join = (blue - red > 60)[head:foot]
    joins = [groups(join.sum(axis) > 0.4 * join.shape[axis]) for axis in (0, 1)]
    arms = []
    for x in joins[0]:
        near = join[:, round(x - 4.4 * MM):round(x + 4.4 * MM)]
        arms += [[x / MM, (y + head) / MM] for y in groups(near.mean(1) > 0.9)]
    for y in joins[1]:
        near = join[round(y - 4.4 * MM):round(y + 4.4 * MM)]
        arms += [[x / MM, (y + head) / MM] for x in groups(near.mean(0) > 0.9)]
    hatch = (red - blue > 40)[head:foot]
    grey = ((abs(red - 212) < 4) & (abs(blue - 212) < 4) & (abs(green - 212) < 4))[head:foot]
    # Not the soft edges of black lines, which are grey too.
    grey &= np.roll(grey, 3, 0) | np.roll(grey, -3, 0)
    grey &= np.roll(grey, 3, 1) | np.roll(grey, -3, 1)
    # From the middle of an outline to the middle of the one opposite.
    sides = [groups(with_run(part, round(20 * MM))) for part in (hatch.T, hatch)]
    hatched = [sides[0][0] / MM, (sides[1][0] + head) / MM, sides[0][-1] / MM, (sides[1][-1] + head) / MM] if all(sides) else box(hatch, 0, head)
    share = 0.0
    if hatched:
        left, top, right, bottom = (round(v * MM) for v in hatched)
        share = float((red - blue > 40)[top:bottom, left:right].mean())
    return {
        "size": [width / 72 * 25.4, height / 72 * 25.4],
        "ruler": [x / MM - strokes[0] / MM for x in strokes],
        "lines_x": [x / MM for x in long_lines[0]],
        "lines_y": [(y + head) / MM for y in long_lines[1]],
        "joins_x": [x / MM for x in joins[0]],
        "joins_y": [(y + head) / MM for y in joins[1]],
        "marks": arms,
        "hatched": hatched, "hatched_share": share,
        "grey": box(grey, 0, head),
        "words": of.get_textpage().get_text_bounded(),
    }


document = pypdfium2.PdfDocument(sys.argv[1])
first = int(sys.argv[2]) if len(sys.argv) > 2 else 0
count = int(sys.argv[3]) if len(sys.argv) > 3 else len(document)
print(json.dumps({"count": len(document), "pages": [page(document[i]) for i in range(first, first + count)]}))
