"""Reads a PDF as an eye does: page by page, what stands where.

Usage: read_pdf.py FILE. Prints JSON: for each page its size and its lines of text from top to bottom, each with
its words and its box [left, top, right, bottom], all in mm from the page's upper left. What stands on one line but
further apart than words do is more than one line.
"""

import json
import sys

import pypdfium2

MM = 25.4 / 72
# Shares of a line's height: between words, and between columns.
WORD, COLUMN = 0.12, 0.45


def lines_of(text, height):
    """Letters in the order in which they were set, joined as long as each follows the one before."""
    lines = []
    for i in range(text.count_chars()):
        letter = text.get_text_range(i, 1)
        if not letter.strip():
            continue
        left, bottom, right, top = text.get_charbox(i, loose=True)
        last = lines[-1] if lines else None
        tall = top - bottom
        if last and abs(bottom - last["bottom"]) < 0.3 * tall and -0.9 * tall < left - last["box"][2] < COLUMN * tall:
            last["words"] += (" " if left - last["box"][2] > WORD * tall else "") + letter
            box = last["box"]
            last["box"] = [min(box[0], left), min(box[1], height - top), max(box[2], right), max(box[3], height - bottom)]
        else:
            lines.append({"words": letter, "bottom": bottom, "box": [left, height - top, right, height - bottom]})
    return lines


def page(of):
    width, height = of.get_size()
    found = lines_of(of.get_textpage(), height)
    found.sort(key=lambda line: (line["box"][1], line["box"][0]))
    return {"size": [width * MM, height * MM], "lines": [{"words": line["words"], "box": [round(v * MM, 2) for v in line["box"]]} for line in found]}


print(json.dumps([page(one) for one in pypdfium2.PdfDocument(sys.argv[1])]))
