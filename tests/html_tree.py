"""A page as a tree of its elements, for tests that ask what is where."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser

__all__ = ["Node", "tree_of"]

_EMPTY = frozenset({"meta", "link", "br", "hr", "img", "input", "wbr"})


@dataclass(slots=True)
class Node:
    """An element: its tag, its classes, and what is in it (a text is a node without a tag)."""

    tag: str
    classes: frozenset[str] = frozenset()
    words: str = ""
    children: list[Node] = field(default_factory=list)

    def walk(self) -> Iterator[Node]:
        """This node and all below it, in the order of the page."""
        yield self
        for child in self.children:
            yield from child.walk()

    def find(self, name: str) -> list[Node]:
        """All below it of a class (`name`)."""
        return [one for one in self.walk() if name in one.classes]

    def text(self) -> str:
        """Its words, with single spaces."""
        return " ".join("".join(one.words for one in self.walk()).split())


class _Builder(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.open = [Node("")]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        node = Node(tag, frozenset((dict(attrs).get("class") or "").split()))
        self.open[-1].children.append(node)
        if tag not in _EMPTY:
            self.open.append(node)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.open[-1].children.append(Node(tag, frozenset((dict(attrs).get("class") or "").split())))

    def handle_endtag(self, tag: str) -> None:
        if tag in {one.tag for one in self.open[1:]}:
            while self.open.pop().tag != tag:
                pass

    def handle_data(self, data: str) -> None:
        self.open[-1].children.append(Node("", words=data))


def tree_of(page: str) -> Node:
    """The tree of a page (`page`: HTML)."""
    builder = _Builder()
    builder.feed(page)
    return builder.open[0]
