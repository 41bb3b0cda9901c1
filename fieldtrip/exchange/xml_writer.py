"""XML as bytes that any reader gives back as it was."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

# Source: XML 1.0 (fifth edition), production [2]; others cannot be written at all.
_NO_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def xml_text(text: str) -> str:
    """A text with the few characters that XML cannot hold shown as �."""
    return _NO_XML.sub("\ufffd", text)


def add(
    parent: ET.Element, tag: str, text: str = "", /, **attributes: str
) -> ET.Element:
    """Add an element to another."""
    clean = {key: xml_text(value) for key, value in attributes.items()}
    made = ET.SubElement(parent, tag, clean)
    if text:
        made.text = xml_text(text)
    return made


def document(root: ET.Element) -> bytes:
    """The whole document in UTF-8."""
    text = ET.tostring(root, encoding="unicode")
    # A bare carriage return would be read as a line feed (XML 1.0, section 2.11).
    text = text.replace("\r", "&#13;")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{text}\n'.encode()
