"""What is in a package, and what it is, as learning platforms read it: imsmanifest.xml.

Sources: IMS Content Packaging 1.1.2, IMS Learning Resource Meta-data 1.2.1, and how SCORM 1.2 uses both (ADL, The SCORM Content
Aggregation Model 1.2, 2001). The schemas are named as the standard asks; they are not in the package, because their terms do not
say that they may be passed on, and platforms have their own.
"""

from __future__ import annotations

from dataclasses import dataclass
from xml.etree.ElementTree import Element, SubElement, indent, tostring  # nosec B405 # writes only

PACKAGING = "http://www.imsproject.org/xsd/imscp_rootv1p1p2"
RUNNING = "http://www.adlnet.org/xsd/adlcp_rootv1p2"
DESCRIBING = "http://www.imsglobal.org/xsd/imsmd_rootv1p2p1"
SCHEMAS = {
    PACKAGING: "imscp_rootv1p1p2.xsd", DESCRIBING: "imsmd_rootv1p2p1.xsd", RUNNING: "adlcp_rootv1p2.xsd",
}  # fmt: skip


@dataclass(frozen=True)
class About:
    """What a catalogue says of a package. `name` may stand in a file's name; `language` as in en or en-GB."""

    name: str
    title: str
    description: str
    language: str
    publisher: str
    rights: str
    keywords: tuple[str, ...]


def manifest(about: About, names: tuple[str, ...], *, parameters: str | None = None, mastery: int | None = None) -> bytes:
    """Of a package of one page and what may lie beside it; the page's name stands first. `parameters` stand after it when it is
    opened; from `mastery` per cent on it is passed."""
    page = names[0]
    root = Element(
        "manifest",
        {
            "identifier": f"between-plates.{about.name}",
            "version": "1",
            "xmlns": PACKAGING,
            "xmlns:adlcp": RUNNING,
            "xmlns:xsi": "http://www.w3.org/2001/XMLSchema-instance",
            "xsi:schemaLocation": " ".join(f"{space} {file}" for space, file in SCHEMAS.items()),
        },
    )
    metadata = SubElement(root, "metadata")
    _said(metadata, "schema", "ADL SCORM")
    _said(metadata, "schemaversion", "1.2")
    _described(metadata, about, page)
    organizations = SubElement(root, "organizations", default="course")
    course = SubElement(organizations, "organization", identifier="course")
    _said(course, "title", about.title)
    item = SubElement(course, "item", identifier="page", identifierref="files")
    if parameters:
        item.set("parameters", parameters)
    _said(item, "title", about.title)
    if mastery is not None:
        _said(item, "adlcp:masteryscore", str(mastery))
    resources = SubElement(root, "resources")
    files = SubElement(
        resources, "resource", {"identifier": "files", "type": "webcontent", "href": page, "adlcp:scormtype": "sco"}
    )  # fmt: skip
    for name in names:
        SubElement(files, "file", href=name)
    indent(root, " ")
    return b'<?xml version="1.0" encoding="UTF-8"?>\n' + tostring(root, "utf-8") + b"\n"


def _described(metadata: Element, about: About, page: str) -> None:
    """The elements that SCORM 1.2 asks of a whole package, in the schema's order."""
    lom = SubElement(metadata, "lom", xmlns=DESCRIBING)

    def told(parent: Element, name: str, text: str) -> None:
        SubElement(SubElement(parent, name), "langstring", {"xml:lang": about.language}).text = text

    def chosen(parent: Element, name: str, value: str) -> None:
        node = SubElement(parent, name)
        for part, text in (("source", "LOMv1.0"), ("value", value)):
            SubElement(SubElement(node, part), "langstring", {"xml:lang": "x-none"}).text = text

    general = SubElement(lom, "general")
    _said(general, "identifier", f"between-plates.{about.name}")
    told(general, "title", about.title)
    _said(general, "language", about.language)
    told(general, "description", about.description)
    for keyword in about.keywords:
        told(general, "keyword", keyword)
    lifecycle = SubElement(lom, "lifecycle")
    told(lifecycle, "version", "1")
    chosen(lifecycle, "status", "Final")
    contribute = SubElement(lifecycle, "contribute")
    chosen(contribute, "role", "Publisher")
    _said(SubElement(contribute, "centity"), "vcard", f"BEGIN:VCARD\nFN:{about.publisher}\nEND:VCARD")
    _said(SubElement(lom, "metametadata"), "metadatascheme", "ADL SCORM 1.2")
    technical = SubElement(lom, "technical")
    _said(technical, "format", "text/html")
    SubElement(technical, "location", type="URI").text = page
    rights = SubElement(lom, "rights")
    chosen(rights, "cost", "no")
    chosen(rights, "copyrightandotherrestrictions", "yes")
    told(rights, "description", about.rights)
    classification = SubElement(lom, "classification")
    chosen(classification, "purpose", "Educational Objective")
    told(classification, "description", about.description)
    for keyword in about.keywords:
        told(classification, "keyword", keyword)


def _said(parent: Element, name: str, text: str) -> None:
    SubElement(parent, name).text = text
