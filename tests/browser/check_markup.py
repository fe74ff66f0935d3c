#!/usr/bin/env python3
"""Reads pages without a browser: balanced HTML, every drawing well-formed XML, nothing from outside.

    check_markup.py PAGE.html...

Prints one line per fault and exits with 1 when there is any.
"""

import re
import sys
import xml.etree.ElementTree
from html.parser import HTMLParser
from pathlib import Path

# HTML Living Standard, section 13.1.2: elements without an end tag.
VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}


class Balance(HTMLParser):
    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.open, self.faults = [], []

    def handle_starttag(self, tag, attributes):
        names = [name for name, _ in attributes]
        if len(set(names)) != len(names):
            self.faults.append(f"line {self.getpos()[0]}: an attribute given twice on {tag}")
        for name, value in attributes:
            outside = name in ("src", "href") and not (value or "").startswith(("data:", "#"))
            if outside or name.startswith("on"):
                self.faults.append(f"line {self.getpos()[0]}: {tag} {name}={value!r}")
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attributes):
        self.handle_starttag(tag, attributes)
        if tag not in VOID:
            self.open.pop()

    def handle_endtag(self, tag):
        if not self.open or self.open.pop() != tag:
            self.faults.append(f"line {self.getpos()[0]}: </{tag}> closes nothing")


def faults_of(text):
    reader = Balance()
    reader.feed(text)
    reader.close()
    faults = reader.faults + [f"<{tag}> is never closed" for tag in reader.open]
    if not text.lower().startswith("<!doctype html>"):
        faults.append("no doctype")
    for drawing in re.findall(r"<svg\b.*?</svg>", text, re.S):
        try:
            xml.etree.ElementTree.fromstring(drawing)
        except xml.etree.ElementTree.ParseError as error:
            faults.append(f"a drawing is not well-formed XML: {error}")
    if re.search(r"\b(nan|inf)\b", re.sub(r"<style>.*?</style>|<title>.*?</title>", "", text, flags=re.S)):
        faults.append("a figure that is no number")
    controls = [c for c in text if (ord(c) < 32 and c not in "\n\t") or ord(c) == 127]
    if controls:
        faults.append(f"control characters {controls[:3]!r}")
    return faults


def main():
    count = 0
    for page in sys.argv[1:]:
        for fault in faults_of(Path(page).read_bytes().decode("utf-8")):
            print(f"{Path(page).name}: {fault}")
            count += 1
    return 1 if count else 0


if __name__ == "__main__":
    sys.exit(main())
