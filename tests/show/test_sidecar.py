"""XMP sidecars: read back by an independent RDF reader, and by exiftool where it is installed."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest
from rdflib import RDF, Graph, URIRef

from idkit.errors import StoreError
from idkit.show import sidecar

SUBJECT = URIRef("http://purl.org/dc/elements/1.1/subject")  # ISO 16684-1, 8.3: dc:subject is an unordered array
WORDS = ("idkit: pile yellow brass", "idkit: is yellow brass")
# As photo programs write them, from memory: another prefix for RDF, keywords and a rating of the user's, history.
STRANGERS = """<?xpacket begin='\ufeff' id='W5M0MpCehiHzreSzNTczkc9d'?>
<x:xmpmeta xmlns:x='adobe:ns:meta/' x:xmptk='some program 1.0'>
<!-- kept -->
<r:RDF xmlns:r='http://www.w3.org/1999/02/22-rdf-syntax-ns#'>
<r:Description r:about='' xmlns:xmp='http://ns.adobe.com/xap/1.0/' xmp:Rating='4'
 xmp:Label='one&#xA;two &amp; &lt;three'/>
<r:Description r:about='' xmlns:dc='http://purl.org/dc/elements/1.1/'>
<dc:subject><r:Bag><r:li>garden tap</r:li><r:li>idkit: pile lead</r:li></r:Bag></dc:subject>
<dc:title><r:Alt><r:li xml:lang='x-default'>Türgriff</r:li></r:Alt></dc:title>
</r:Description>
</r:RDF>
</x:xmpmeta>
<?xpacket end='w'?>"""


def graph(packet: str) -> Graph:
    """The packet's RDF, by rdflib."""
    inner = re.search(r"<(r|rdf):RDF.*</\1:RDF>", packet, re.DOTALL)
    assert inner is not None
    return Graph().parse(data=inner[0], format="xml", publicID="photo:")


def subjects(packet: str) -> list[str]:
    """The members of the one array of dc:subject."""
    of_photo = graph(packet)
    (bag,) = of_photo.objects(URIRef("photo:"), SUBJECT)
    assert of_photo.value(bag, RDF.type) in (RDF.Bag, RDF.Seq)
    return sorted(str(word) for name, word in of_photo.predicate_objects(bag) if name != RDF.type)


def all_but_subjects(packet: str) -> set[tuple[str, str]]:
    about = graph(packet)
    return {(str(name), str(value)) for name, value in about.predicate_objects(URIRef("photo:")) if name != SUBJECT}


def test_a_new_sidecar_holds_the_keywords_as_the_standard_has_them(tmp_path: Path) -> None:
    photo = tmp_path / "tap & Säge.jpg"
    photo.write_bytes(b"a photo")
    assert sidecar.write(photo, WORDS)
    packet = (tmp_path / "tap & Säge.jpg.xmp").read_text("utf-8")
    assert subjects(packet) == sorted(WORDS)
    assert photo.read_bytes() == b"a photo"
    assert not sidecar.write(photo, WORDS)


def test_a_strangers_sidecar_keeps_all_it_says(tmp_path: Path) -> None:
    photo, beside = tmp_path / "tap.jpg", tmp_path / "tap.xmp"
    beside.write_text(STRANGERS, "utf-8")
    assert sidecar.write(photo, WORDS)
    assert not (tmp_path / "tap.jpg.xmp").exists()
    packet = beside.read_text("utf-8")
    assert subjects(packet) == sorted(["garden tap", *WORDS])  # what an earlier run said gave way
    assert "<!-- kept -->" in packet
    assert "some program 1.0" in packet
    assert packet.startswith("<?xpacket begin=")
    assert all_but_subjects(packet) >= {
        ("http://ns.adobe.com/xap/1.0/Rating", "4"),
        ("http://ns.adobe.com/xap/1.0/Label", "one\ntwo & <three"),
    }
    assert "Türgriff" in packet
    assert not sidecar.write(photo, WORDS)


@pytest.mark.parametrize(
    "inside",
    [
        "",
        "<dc:subject/>",
        "<dc:subject>one word</dc:subject>",
        "<dc:subject><rdf:Seq><rdf:li>x</rdf:li></rdf:Seq></dc:subject>",
    ],
)
def test_keywords_that_are_not_as_the_standard_has_them_are_kept(inside: str) -> None:
    packet = sidecar.EMPTY.replace(
        'dc="http://purl.org/dc/elements/1.1/"/>', f'dc="{sidecar.DC}">{inside}</rdf:Description>'
    )
    merged = sidecar.merged(packet, WORDS)
    assert set(subjects(merged)) >= set(WORDS)
    assert ("one word" in merged) == ("one word" in inside)


@pytest.mark.parametrize(
    "text",
    [
        "not xml",
        "<x/>",
        "",
        '<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]><x>&e;</x>',
        '<!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;&a;">]><x>&b;</x>',
    ],
)
def test_what_is_no_xmp_or_means_harm_is_left_as_it_is(tmp_path: Path, text: str) -> None:
    beside = tmp_path / "tap.jpg.xmp"
    beside.write_text(text, "utf-8")
    with pytest.raises(StoreError, match="left as it is"):
        sidecar.write(tmp_path / "tap.jpg", WORDS)
    assert beside.read_text("utf-8") == text
    assert sorted(path.name for path in tmp_path.iterdir()) == ["tap.jpg.xmp"]


@pytest.mark.skipif(not shutil.which("exiftool"), reason="exiftool is not installed")
def test_exiftool_reads_the_keywords(tmp_path: Path) -> None:
    (tmp_path / "tap.xmp").write_text(STRANGERS, "utf-8")
    for photo in ("tap.jpg", "hinge.jpg"):
        sidecar.write(tmp_path / photo, WORDS)
    names = [str(tmp_path / name) for name in ("tap.xmp", "hinge.jpg.xmp")]
    said = subprocess.run(
        ["exiftool", "-json", "-Subject", "-Rating", "-Title", *names], check=True, capture_output=True
    )
    old, new = json.loads(said.stdout)
    assert old["Subject"] == ["garden tap", *WORDS]
    assert (old["Rating"], old["Title"]) == (4, "Türgriff")
    assert new["Subject"] == list(WORDS)


def test_behind_a_link_what_it_points_to_is_written_and_the_link_stays(tmp_path: Path) -> None:
    photo, kept = tmp_path / "tap.jpg", tmp_path / "catalogue.xmp"
    photo.write_bytes(b"a photo")
    kept.write_text(STRANGERS, "utf-8")
    try:
        (tmp_path / "tap.jpg.xmp").symlink_to(kept)
    except OSError:
        pytest.skip("no links here")
    assert sidecar.write(photo, WORDS)
    assert (tmp_path / "tap.jpg.xmp").is_symlink()
    assert set(WORDS) < set(subjects(kept.read_text("utf-8")))


ODD = {
    "alternatives": "<rdf:Alt><rdf:li xml:lang='x-default'>holiday</rdf:li></rdf:Alt>",
    "two lists": "<rdf:Bag><rdf:li>holiday</rdf:li></rdf:Bag><rdf:Bag/>",
}


@pytest.mark.parametrize("inner", ODD.values(), ids=ODD)
def test_keywords_that_are_no_plain_list_are_left_alone(tmp_path: Path, inner: str) -> None:
    packet = sidecar.EMPTY.replace(
        f' xmlns:dc="{sidecar.DC}"/>', f' xmlns:dc="{sidecar.DC}"><dc:subject>{inner}</dc:subject></rdf:Description>'
    )
    (tmp_path / "tap.jpg.xmp").write_text(packet, "utf-8")
    with pytest.raises(StoreError, match="left as it is"):
        sidecar.write(tmp_path / "tap.jpg", WORDS)
    assert (tmp_path / "tap.jpg.xmp").read_text("utf-8") == packet


def test_keywords_of_something_within_the_photo_are_not_its_own() -> None:
    """As of the pictures that a picture was put together from (XMP part 2, pantry)."""
    inner = "<dc:subject><rdf:Bag><rdf:li>another</rdf:li></rdf:Bag></dc:subject>"
    pantry = f"<x:Pantry xmlns:x='urn:x'><rdf:Description>{inner}</rdf:Description></x:Pantry>"
    packet = sidecar.EMPTY.replace(
        f' xmlns:dc="{sidecar.DC}"/>', f' xmlns:dc="{sidecar.DC}">{pantry}</rdf:Description>'
    )
    told = sidecar.merged(packet, WORDS)
    of_photo = graph(told)
    (bag,) = of_photo.objects(URIRef("photo:"), SUBJECT)
    assert sorted(str(word) for name, word in of_photo.predicate_objects(bag) if name != RDF.type) == sorted(WORDS)
    assert "<rdf:li>another</rdf:li></rdf:Bag>" in told


def test_a_break_in_a_text_stays_what_it_was() -> None:
    packet = STRANGERS.replace("Türgriff", "Tür&#13;griff")
    assert "Tür&#13;griff" in sidecar.merged(packet, WORDS)
