"""An HTML page as a reader sees it: its elements in order, its text, and whether every element is closed where it should be."""

from __future__ import annotations

from html.parser import HTMLParser

__all__ = ("Read",)

_VOID = {"meta", "br", "hr", "input", "link", "img"}
_INLINE = {"sub", "sup", "b", "span", "code"}
_SHAPES = {"rect", "line", "circle", "path"}  # of a picture, closed in themselves


class Read(HTMLParser):
    """The elements of a page with their attributes, its text, and the faults of its markup."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.markup: list[str] = []
        self.text = ""
        self.faults: list[str] = []
        self._open: list[str] = []
        self.feed(page)
        self.close()
        self.faults += [f"<{tag}> is not closed" for tag in self._open]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        names = [name for name, _ in attrs]
        if len(set(names)) < len(names):
            self.faults.append(f"<{tag}> has an attribute twice")
        self.elements.append((tag, {name: value or "" for name, value in attrs}))
        self.markup.append(tag)
        if tag not in _VOID:
            self._open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in _SHAPES:
            self.faults.append(f"<{tag}/>")
        self.elements.append((tag, {name: value or "" for name, value in attrs}))
        self.markup.append(f"{tag}/")

    def handle_endtag(self, tag: str) -> None:
        self.markup.append(f"/{tag}")
        if tag not in _INLINE:
            self.text += " "
        if not self._open or self._open.pop() != tag:
            self.faults.append(f"</{tag}> closes nothing")

    def handle_comment(self, data: str) -> None:
        self.faults.append(f"a comment: {data}")

    def handle_data(self, data: str) -> None:
        if not self._open or self._open[-1] != "style":
            self.text += data

    def all(self, tag: str) -> list[dict[str, str]]:
        """Return the attributes of every element of a kind."""
        return [attrs for name, attrs in self.elements if name == tag]

    @property
    def words(self) -> str:
        """The text with single spaces."""
        return " ".join(self.text.split())
