"""A SCORM package as files: what its manifest says, that it is held to the standard's own schemas, and the page in it."""

from __future__ import annotations

import base64
import html
import re
from hashlib import sha256
from pathlib import Path

import pytest
from lxml import etree

from builder.__main__ import main
from builder.packs.error import PackError
from builder.packs.manifest import DESCRIBING, PACKAGING, RUNNING, SCHEMAS
from tests.conftest import PROJECT
from tests.packs.platform_packs import SLUG, made, movement, package, schemas, understood

SPACES = {"cp": PACKAGING, "adlcp": RUNNING, "md": DESCRIBING}


@pytest.fixture(scope="module")
def schema(tmp_path_factory: pytest.TempPathFactory) -> etree.XMLSchema:
    """All three schemas at once, read by libxml2."""
    folder = schemas(tmp_path_factory.mktemp("schemas"))
    imports = "".join(
        f'<xsd:import namespace="{space}" schemaLocation="{(folder / file).as_uri()}"/>' for space, file in SCHEMAS.items()
    )
    driver = f'<xsd:schema xmlns:xsd="http://www.w3.org/2001/XMLSchema" targetNamespace="urn:all">{imports}</xsd:schema>'
    return etree.XMLSchema(etree.fromstring(driver))


@pytest.mark.parametrize("given", [(), ("--pass", "80", "--paper", "7"), ("lesson",), ("learn-train",)])
def test_the_manifest_is_valid(given: tuple[str, ...], schema: etree.XMLSchema) -> None:
    """Of a self-test, with all options or none, of a lesson and of a chapter: no schema finds a fault."""
    schema.assertValid(etree.fromstring(package(*given)["imsmanifest.xml"]))


@pytest.mark.parametrize(
    ("said", "instead"),
    [
        (b'adlcp:scormtype="sco"', b'adlcp:scormtype="page"'),
        (b'identifierref="files"', b'identifier_ref="files"'),
        (b"<metadatascheme>ADL SCORM 1.2</metadatascheme>", b"<scheme>ADL SCORM 1.2</scheme>"),
        (b"<adlcp:masteryscore>80</adlcp:masteryscore>", b"<adlcp:masteryscore>" + b"8" * 201 + b"</adlcp:masteryscore>"),
        (b"<resources>", b"<resources/><resources>"),
    ],
)
def test_the_schemas_find_a_fault(said: bytes, instead: bytes, schema: etree.XMLSchema) -> None:
    """Negative control: a manifest with one fault put in is refused, each of the three schemas having its say."""
    good = package("--pass", "80", "--paper", "7")["imsmanifest.xml"]
    assert good.count(said) == 1
    assert not schema.validate(etree.fromstring(good.replace(said, instead)))


def test_what_a_catalogue_reads() -> None:
    """Title, language, publisher, licence, version of the standard; the launched file is in the package, and nothing else."""
    files = package("--pass", "80", "--paper", "7")
    root = etree.fromstring(files["imsmanifest.xml"])

    def said(path: str) -> str:
        return " ".join("".join(root.xpath(path, namespaces=SPACES)).split())

    assert said("cp:metadata/schemaversion/text() | cp:metadata/cp:schemaversion/text()") == "1.2"
    assert said(".//md:general/md:title/md:langstring/text()") == "Hall clock: self-test"
    assert said(".//md:general/md:language/text()") == movement().collection.language
    assert movement().collection.publisher in said(".//md:centity/md:vcard/text()")
    assert movement().collection.licence.address in said(".//md:rights/md:description/md:langstring/text()")
    assert said(".//cp:item/adlcp:masteryscore/text()") == "80"
    assert said(".//cp:item/@parameters") == "?paper=7"
    named = set(root.xpath(".//cp:file/@href | .//cp:resource/@href", namespaces=SPACES))
    assert named | {"imsmanifest.xml"} == files.keys()


def test_the_page_lets_its_scripts_in() -> None:
    """Every script of the page is allowed by its hash (CSP level 3), the reporting one first; the site's pages do not have it."""
    page = package()["index.html"].decode("utf-8")
    found = re.search(r'http-equiv="Content-Security-Policy" content="([^"]*)"', page)
    assert found
    policy = html.unescape(found[1])
    assert "default-src 'none'" in policy and "connect" not in policy
    scripts = re.findall(r"<script>(.*?)</script>", page, re.DOTALL)
    hashes = [f"'sha256-{base64.b64encode(sha256(text.encode()).digest()).decode()}'" for text in scripts]
    allowed = re.findall(r"'sha256-[^']*'", policy.partition("script-src")[2])
    assert set(hashes) <= set(allowed) and hashes[0] == allowed[0]
    assert page.index("LMSInitialize") < page.index("paperKeeper || {}"), "who keeps the record comes before who asks"
    assert not any(b"LMSInitialize" in path.read_bytes() for path in (PROJECT / "templates" / "static").iterdir())


def test_same_bytes() -> None:
    """Made twice it is the same file, without a date."""
    one, other = made("scorm"), made("scorm")
    assert one == other and one.name == f"{SLUG}-self-test.scorm.zip"


def test_wrong_use(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A page that is not there is named with those that are; numbers out of range are refused before anything is made."""
    with pytest.raises(PackError, match=r"no page clockwork\. There are: .*self-test"):
        made("scorm", "clockwork")
    for wrong, said in ((["--pass", "0"], "from 1 to 100"), (["--pass", "half"], "from 1 to 100"), (["--paper", "0"], "99999")):
        with pytest.raises(SystemExit) as stopped:
            main(["pack", "scorm", SLUG, *wrong, "--out", str(tmp_path / "x.zip")])
        assert stopped.value.code == 2 and said in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_the_readme_s_lines() -> None:
    """Each line of the README on packs for learning platforms is understood, and names a page that is packed here too."""
    text = (PROJECT / "README.md").read_text("utf-8")
    lines = re.findall(r"^ {4}between-plates pack (scorm|gift|moodle) (\w+) ([^#\n]*)", text, re.MULTILINE)
    assert {kind for kind, _, _ in lines} == {"scorm", "gift", "moodle"}
    for kind, slug, rest in lines:
        options = understood(kind, *rest.split())
        assert slug == SLUG and getattr(options, "page", "lesson") in ("self-test", "lesson")
