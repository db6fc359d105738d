#!/usr/bin/python3
"""The printed report, read back by poppler.

    paper_check.py BINARY

Every example, in inches on Letter with the inspection sheet, and in metric on A4 without: the
first page is the summary and holds the drawing; no page but a rough-in sheet is nearly empty; no head
ends a page and no footnote begins one; every page counts in its foot, and no folder stands there.
The exit status is 77 where `pdftotext` or a browser is missing.
"""

import html
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree

import probe

ROOT = pathlib.Path(__file__).resolve().parents[2]
SPACE = "{http://www.w3.org/1999/xhtml}"
PAPER = {"ip": (612.0, 792.0), "si": (595.0, 842.0)}  # [pt]
TOP, FOOT = 45.0, 51.0  # margins [pt]
LEAST_FILLED = 1.0 / 3.0
SHEET = "date, and who measured"


def run(binary, *words):
    done = subprocess.run([binary, *words], capture_output=True, text=True, check=False)
    return done.returncode, done.stdout, done.stderr


def lines_of(page):
    """Text and lowest edge of each line, from top to bottom."""
    lines = []
    for line in page.iter(SPACE + "line"):
        words = " ".join(word.text or "" for word in line.iter(SPACE + "word"))
        lines.append((float(line.get("yMin")), float(line.get("yMax")), words))
    return sorted(lines)


def check(binary, layout, system, more):
    faults = []
    with tempfile.TemporaryDirectory() as folder:
        pdf = pathlib.Path(folder) / "report.pdf"
        words = ["report", str(layout), "--units", system, "--fail-on", "never", *more]
        code, _, why = run(binary, *words, "--pdf", "-o", str(pdf))
        if code == 2:
            sys.exit(probe.SKIPPED if "chromium" in why.lower() else why)
        page_html = run(binary, *words, "-o", "-")[1]
        found = subprocess.run(["pdftotext", "-bbox-layout", str(pdf), "-"], capture_output=True, check=True)
    plain = re.sub(rb"[\x00-\x08\x0b\x0c\x0e-\x1f]", b"", found.stdout)
    pages = list(xml.etree.ElementTree.fromstring(plain).iter(SPACE + "page"))
    heads = {html.unescape(re.sub("<[^>]*>", "", text)).strip()
             for text in re.findall(r"<(?:h[234]|caption)[^>]*>(.*?)</(?:h[234]|caption)>", page_html)}
    footnotes = [html.unescape(re.sub("<[^>]*>", "", text)).strip()[:30]
                 for text in re.findall(r"<p class=\"remark\">(.*?)</p>", page_html)]
    for number, page in enumerate(pages, 1):
        width, height = float(page.get("width")), float(page.get("height"))
        if abs(width - PAPER[system][0]) > 1.0 or abs(height - PAPER[system][1]) > 1.0:
            faults.append(f"page {number} is {width} x {height} pt")
        lines = lines_of(page)
        foot = [text for _, low, text in lines if low > height - FOOT]
        body = [(high, low, text) for high, low, text in lines if low <= height - FOOT]
        if not any(f"page {number} of {len(pages)}" in text for text in foot):
            faults.append(f"page {number} of {len(pages)} is not counted: {foot}")
        if any("/" in text or "\\" in text for text in foot):
            faults.append(f"page {number}: a folder in the foot: {foot}")
        if not body:
            faults.append(f"page {number} is empty")
            continue
        sheet = any(SHEET in text for _, _, text in body)
        filled = (max(low for _, low, _ in body) - TOP) / (height - TOP - FOOT)
        if filled < LEAST_FILLED and not sheet:
            faults.append(f"page {number} is filled to {filled:.0%}: {body[0][2]} ...")
        if body[-1][2] in heads:
            faults.append(f"page {number} ends with a head: {body[-1][2]}")
        if any(body[0][2].startswith(text) for text in footnotes):
            faults.append(f"page {number} begins with a footnote: {body[0][2]}")
        if number == 1 and not any(text in ("The route", "The runs side by side") for _, _, text in body):
            faults.append("the summary is not on the first page")
    return faults


def main(binary):
    if shutil.which("pdftotext") is None or shutil.which("chromium") is None:
        print("skipped: no pdftotext or no chromium")
        return probe.SKIPPED
    bad = checked = 0
    for layout in sorted(ROOT.glob("examples/*.yaml")):
        # Each start of the printer takes seconds: a review on one paper, the plain report on the other.
        for system, more in (("ip", ["--review"]), ("si", [])):
            checked += 1
            for fault in check(binary, layout, system, more):
                bad += 1
                print(f"{layout.name} {system} {' '.join(more)}: {fault}")
    print(f"{checked} reports printed")
    return 1 if bad or checked < 20 else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
