"""XML parsed into a tree of elements: internal entities expanded within bounds, nothing external ever read."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from xml.parsers import expat

from ....errors import ArtworkError
from ...kinds import READ
from ...limits import Limits, beyond

SVG = "http://www.w3.org/2000/svg"
XLINK = "{http://www.w3.org/1999/xlink}"
XML = "{http://www.w3.org/XML/1998/namespace}"

_REFERENCE = re.compile(rb"&([A-Za-z_][\w.:-]*);")
_PREDEFINED = {b"lt": 1, b"gt": 1, b"amp": 1, b"quot": 1, b"apos": 1}


class Element:
    """One element of the file, in the shape that selector matching expects of an element tree.

    ``tag``: ``{namespace}name``. ``name``: the local name when the element is SVG's, else empty. ``line``: where it
    starts in the file. ``text`` and ``tail``: character data before the first child and after the end tag.
    """

    __slots__ = ("attrib", "children", "line", "name", "parent", "tag", "tail", "text")

    def __init__(self, tag: str, attrib: dict[str, str], parent: Element | None, line: int) -> None:
        self.tag = tag
        self.attrib = attrib
        self.parent = parent
        self.line = line
        self.children: list[Element] = []
        self.text = ""
        self.tail = ""
        namespace, _, name = tag[1:].rpartition("}") if tag.startswith("{") else ("", "", tag)
        self.name = name if namespace in {SVG, ""} else ""

    def __iter__(self) -> Iterator[Element]:
        return iter(self.children)

    def __len__(self) -> int:
        return len(self.children)

    def get(self, name: str, default: str | None = None) -> str | None:
        """Return an attribute."""
        return self.attrib.get(name, default)

    @property
    def href(self) -> str | None:
        """What the element refers to; the plain attribute wins over XLink's (SVG 2, section 16.1.5)."""
        plain = self.attrib.get("href")
        return plain if plain is not None else self.attrib.get(XLINK + "href")

    def described(self) -> str:
        """Say which element this is: its name, id and line."""
        name = self.name or self.tag.rpartition("}")[2]
        identity = self.attrib.get("id")
        shown = f' id="{identity[:40]}"' if identity else ""
        return f"<{name}{shown}> on line {self.line}"

    def descendants(self) -> Iterator[Element]:
        """Yield the element and all below it in document order, however deep."""
        stack = [self]
        while stack:
            element = stack.pop()
            yield element
            stack.extend(reversed(element.children))


@dataclass
class Document:
    """A parsed file: its root, its elements by id, and what was left aside while parsing."""

    root: Element
    by_id: dict[str, Element]
    left_aside: list[str] = field(default_factory=list)


def parse_document(data: bytes, limits: Limits) -> Document:
    """Parse XML whose root is ``svg``.

    Entities declared in the file are expanded; external entities, document types and references are never read.
    Raises :class:`ArtworkError` when the data is empty, not XML, not SVG, past a limit, or asks for an external entity.
    """
    if len(data) > limits.largest_unpacked:
        raise beyond("largest_unpacked", f"the file has {len(data):,} bytes", limits)
    stripped = data.lstrip()
    if not stripped:
        raise ArtworkError("the file is empty; save the drawing again")
    if not stripped[:16].lstrip(b"\xef\xbb\xbf\xff\xfe\x00").lstrip().startswith((b"<", b"\x00<")):
        raise ArtworkError(f"not artwork this program reads: give {READ}")
    builder = _Builder(stripped, limits)
    builder.parse()
    if builder.root is None:
        raise ArtworkError(f"not an SVG file, for it has no root element: give {READ}")
    if builder.root.name != "svg":
        root = builder.root.tag.rpartition("}")[2]
        raise ArtworkError(f"not an SVG file, for its root element is <{root}> and not <svg>: give {READ}")
    return Document(builder.root, builder.by_id, builder.left_aside)


class _Builder:
    """Receives the parser's events and builds the tree without recursion."""

    def __init__(self, data: bytes, limits: Limits) -> None:
        self.data = data
        self.limits = limits
        self.root: Element | None = None
        self.by_id: dict[str, Element] = {}
        self.left_aside: list[str] = []
        self._open: list[Element] = []
        self._text: list[str] = []
        self._lengths: dict[bytes, int] = dict(_PREDEFINED)
        self._count = 0
        # The separator cannot occur in a name, so it splits namespace from name for certain.
        self._parser = expat.ParserCreate(namespace_separator="}")

    def parse(self) -> None:
        parser = self._parser
        parser.buffer_text = True
        parser.ordered_attributes = True
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._end
        parser.CharacterDataHandler = self._text.append
        parser.EntityDeclHandler = self._entity
        parser.EndDoctypeDeclHandler = self._refuse_bombs
        parser.ExternalEntityRefHandler = self._refuse_external
        parser.SkippedEntityHandler = self._skip_entity
        try:
            parser.Parse(self.data, True)
        except expat.ExpatError as error:
            reason = expat.ErrorString(error.code)
            if "amplification" in reason:
                raise ArtworkError(
                    "entities that expand without bound (an entity bomb); the file is refused"
                ) from error
            raise ArtworkError(
                f"not well-formed XML: {reason} on line {error.lineno}, column {error.offset + 1}; "
                "the file may be cut off or damaged, save it again"
            ) from error
        except (ValueError, LookupError) as error:
            raise ArtworkError(f"not readable as XML ({error}); save the drawing as UTF-8") from error

    def _start(self, name: str, attributes: list[str]) -> None:
        self._flush()
        self._count += 1
        if self._count > self.limits.most_elements:
            raise beyond("most_elements", "the file holds more elements than allowed", self.limits)
        if len(self._open) >= self.limits.deepest:
            raise beyond("deepest", "elements are nested more deeply than allowed", self.limits)
        given = {_clark(key): value for key, value in zip(attributes[::2], attributes[1::2], strict=True)}
        parent = self._open[-1] if self._open else None
        element = Element(_clark(name), given, parent, self._parser.CurrentLineNumber)
        if parent is None:
            self.root = element
        else:
            parent.children.append(element)
        identity = given.get("id")
        if identity:
            self.by_id.setdefault(identity, element)
        self._open.append(element)

    def _end(self, _: str) -> None:
        self._flush()
        self._open.pop()

    def _flush(self) -> None:
        if not self._text:
            return
        text = "".join(self._text)
        self._text.clear()
        if self._open:
            element = self._open[-1]
            if element.children:
                element.children[-1].tail += text
            else:
                element.text += text

    def _entity(
        self, name: str, is_parameter: bool, value: str | None, _base: str | None, system: str | None, *_: str | None
    ) -> None:
        if is_parameter:
            return
        if value is None:
            self.left_aside.append(f"external entity &{name}; ({system}) was not read")
            self._lengths.setdefault(name.encode(), 0)
            return
        # An entity may only refer to those declared before it here: later ones count when the parser meets them.
        literal = value.encode()
        inner = sum(self._lengths.get(used, 0) for used in _REFERENCE.findall(literal))
        self._lengths.setdefault(name.encode(), len(literal) + inner)
        if self._lengths[name.encode()] > self.limits.largest_unpacked:
            raise beyond("largest_unpacked", f"entity &{name}; expands without bound (an entity bomb)", self.limits)

    def _refuse_bombs(self) -> None:
        """Add up what the references in the body expand to, before the parser expands any of them."""
        if len(self._lengths) == len(_PREDEFINED):
            return
        body = self.data[max(self._parser.CurrentByteIndex, 0) :].replace(b"\x00", b"")
        total = sum(self._lengths.get(used, 0) for used in _REFERENCE.findall(body))
        if total > self.limits.largest_unpacked:
            raise beyond("largest_unpacked", f"entities expand to {total:,} bytes (an entity bomb)", self.limits)

    def _refuse_external(self, context: str | None, _base: str | None, system: str | None, *_: str | None) -> int:
        # Expat's context lists namespaces first and the entity last, parted by form feeds.
        name = (context or "").rpartition("\f")[2]
        raise ArtworkError(
            f"the drawing is to take in the external entity &{name}; ({system}), and nothing outside the file is ever "
            "read; save it with all that it shows inside"
        )

    def _skip_entity(self, name: str, is_parameter: bool) -> None:
        if not is_parameter:
            self.left_aside.append(f"entity &{name}; is declared outside the file and was left out")


def _clark(name: str) -> str:
    return "{" + name if "}" in name else name
