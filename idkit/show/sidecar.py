"""Keywords beside a photo, in an XMP sidecar (ISO 16684-1) that photo programs read; what others wrote is kept."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, cast

from idkit.errors import StoreError
from idkit.show import cards
from idkit.show.cards import Card

if TYPE_CHECKING:
    from xml.dom.minidom import Document, Element, Node

RDF = "http://www.w3.org/1999/02/22-rdf-syntax-ns#"
DC = "http://purl.org/dc/elements/1.1/"
XMLNS = "http://www.w3.org/2000/xmlns/"
OURS = "idkit: "  # before each keyword, so that a later run finds its own and no others
LARGEST = 32 << 20  # bytes of a sidecar that is read
EMPTY = f"""<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
 <rdf:RDF xmlns:rdf="{RDF}">
  <rdf:Description rdf:about="" xmlns:dc="{DC}"/>
 </rdf:RDF>
</x:xmpmeta>
<?xpacket end="w"?>
"""
BREAKS = {"\n": "\ue00a", "\r": "\ue00d", "\t": "\ue009"}  # in attributes; private letters stand for them meanwhile


def keywords(card: Card) -> tuple[str, ...]:
    """What a photo of this part is found by: where the part goes, and the metals it may be."""
    where = f"pile {cards.in_words(card.pile)}" if card.place == cards.PILE else cards.in_words(card.place)
    metals = (f"{'is' if card.sure and bar.chance >= 0.95 else 'may be'} {bar.name}" for bar in card.bars)
    return tuple(f"{OURS}{each}" for each in (where, *metals))


def sidecar_of(photo: Path) -> Path:
    """The photo's sidecar: its name and .xmp; one that is there under the name without the ending is taken instead."""
    beside, plain = photo.with_name(f"{photo.name}.xmp"), photo.with_suffix(".xmp")
    return plain if plain.exists() and not beside.exists() else beside


def write(photo: Path, words: Sequence[str]) -> bool:
    """Put the keywords into the photo's sidecar; whether it changed. StoreError where it can't be, and nothing written.

    Keywords of ours from an earlier run give way to these; all else in the file stays. Behind a link, what it points to
    is written.
    """
    path = sidecar_of(photo).resolve()
    try:
        old = _read(path)
        new = merged(old, words)
        if new == old:
            return False
        fresh = path.with_name(f".{path.name}.new")
        fresh.unlink(missing_ok=True)  # of a run that was killed; behind a link nothing is written
        with fresh.open("x", encoding="utf-8", newline="") as file:
            file.write(new)
        if path.exists():
            fresh.chmod(path.stat().st_mode & 0o777)
        fresh.replace(path)
    except OSError as error:
        raise StoreError(str(path), f"can't be written ({error.strerror})") from None
    except Exception as error:  # whatever a parser finds wrong with a stranger's file
        said = " ".join(str(error).split()) or type(error).__name__
        raise StoreError(str(path), f"is no XMP that can be added to ({said})", "", "it was left as it is") from None
    return True


def merged(packet: str, words: Sequence[str]) -> str:
    """The packet with these keywords among its dc:subject. ValueError where it holds no RDF; entities are refused."""
    from defusedxml import minidom

    document = minidom.parseString(packet, forbid_dtd=True)
    found = document.getElementsByTagNameNS(RDF, "RDF")
    if not found:
        message = "no rdf:RDF in it"
        raise ValueError(message)
    bag = _bag(document, found[0])
    ours = [item for item in bag.getElementsByTagNameNS(RDF, "li") if _text(item).startswith(OURS)]
    if [_text(item) for item in ours] == list(words):
        return packet
    for item in ours:
        bag.removeChild(item)
    for word in words:
        item = document.createElementNS(RDF, f"{_prefix(bag)}li")
        item.appendChild(document.createTextNode(word))
        bag.appendChild(item)
    return _written(document)


def _read(path: Path) -> str:
    """The sidecar as text, or an empty packet where there is none."""
    if not path.exists():
        return EMPTY
    if path.stat().st_size > LARGEST:
        message = "over 32 MB"
        raise ValueError(message)
    data = path.read_bytes()
    return data.decode("utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig")


def _bag(document: Document, rdf: Element) -> Element:
    """The bag of dc:subject of the photo itself, made where there is none; ValueError where it is no keywords' list."""
    above = _children(rdf, RDF, "Description")
    subjects = [subject for description in above for subject in _children(description, DC, "subject")]
    if any(description.hasAttributeNS(DC, "subject") for description in above) or len(subjects) > 1:
        message = "its dc:subject is no one list"
        raise ValueError(message)
    if subjects:
        lists = [child for child in subjects[0].childNodes if child.nodeType == child.ELEMENT_NODE]
        bags = [*_children(subjects[0], RDF, "Bag"), *_children(subjects[0], RDF, "Seq")]
        if subjects[0].hasAttributeNS(RDF, "parseType") or len(lists) != len(bags) or len(bags) > 1:
            message = "its dc:subject is no bag of keywords"
            raise ValueError(message)
        if bags:
            return bags[0]
        parent = cast("Element", subjects[0].parentNode)
        parent.removeChild(subjects[0])  # plain text, or empty: a bag takes its place
        return _new_bag(document, parent, _text(subjects[0]))
    if not above:
        above = [document.createElementNS(RDF, f"{_prefix(rdf)}Description")]
        above[0].setAttributeNS(RDF, f"{_prefix(rdf)}about", "")
        rdf.appendChild(above[0])
    return _new_bag(document, above[0], "")


def _children(above: Element, space: str, name: str) -> list[Element]:
    """The elements of that name right below another."""
    below = (child for child in above.childNodes if child.nodeType == child.ELEMENT_NODE)
    return [child for child in below if child.namespaceURI == space and child.localName == name]


def _new_bag(document: Document, description: Element, kept: str) -> Element:
    subject = document.createElementNS(DC, "dc:subject")
    subject.setAttributeNS(XMLNS, "xmlns:dc", DC)
    bag = document.createElementNS(RDF, f"{_prefix(description)}Bag")
    if kept.strip():
        item = document.createElementNS(RDF, f"{_prefix(description)}li")
        item.appendChild(document.createTextNode(kept.strip()))
        bag.appendChild(item)
    subject.appendChild(bag)
    description.appendChild(subject)
    return bag


def _prefix(node: Node | None) -> str:
    """The prefix that the file has for RDF, from the nearest element of it above."""
    while node is not None and node.namespaceURI != RDF:
        node = node.parentNode
    return f"{node.prefix}:" if node is not None and node.prefix else ""


def _text(element: Element) -> str:
    return "".join(
        node.data for node in element.childNodes if node.nodeType in (node.TEXT_NODE, node.CDATA_SECTION_NODE)
    )


def _written(document: Document) -> str:
    """The document as text, without the XML declaration that a packet does without; breaks that a reader would change
    are escaped, in attributes and in text.
    """
    for element in document.getElementsByTagName("*"):
        for name, value in element.attributes.items():
            for sign, stand_in in BREAKS.items():
                value = value.replace(sign, stand_in)
            element.setAttribute(name, value)
        for child in element.childNodes:
            if child.nodeType == child.TEXT_NODE:
                child.data = child.data.replace("\r", BREAKS["\r"])
    text = "\n".join(node.toxml() for node in document.childNodes) + "\n"
    for sign, stand_in in BREAKS.items():
        text = text.replace(stand_in, f"&#{ord(sign)};")
    return text
