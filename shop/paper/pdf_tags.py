"""Tags in a PDF, so that a screen reader finds headings, lists, tables and what drawings show.

The frame marks each paragraph, cell and drawing while it is drawn; the canvas writes the tree
of marks at the end. Rules, backgrounds and footers are marked as decoration. A flowable with an
``alt`` text is a drawing. A table says by ``repeatRows`` how many rows and by ``row_heads``
which columns of it are heads; one with ``is_layout`` is none: what it holds is read in its order.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from reportlab.pdfbase.pdfdoc import PDFArray, PDFDictionary, PDFName, PDFString
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, Frame, Paragraph, Table

#: Roles of paragraphs by the name of their style; all others are "P".
ROLES = {"title": "H1", "heading": "H2", "caution": "LI"}
DECORATION = "/Artifact BMC"
END = "EMC"


@dataclass
class Node:
    """An element of the tree: its role, its children, and where its marks are.

    ``marks`` are (page index, mark number on that page).
    """

    role: str
    alt: str = ""
    scope: str = ""
    nodes: list[Node] = field(default_factory=list)
    marks: list[tuple[int, int]] = field(default_factory=list)

    def add(self, role: str, alt: str = "", scope: str = "") -> Node:
        self.nodes.append(Node(role, alt, scope))
        return self.nodes[-1]

    def add_text(self, style: str) -> Node:
        """A paragraph by the name of its style; list items that follow each other are one list."""
        role = ROLES.get(style, "P")
        if role != "LI":
            return self.add(role)
        going_on = self.nodes and self.nodes[-1].role == "L"
        return (self.nodes[-1] if going_on else self.add("L")).add("LI").add("LBody")


class TaggedCanvas(Canvas):
    """A canvas that numbers marks per page and writes their tree when it is saved.

    Pages are held back until then, so that ``finish_page`` can write how many there are.
    """

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.tree = Node("Document")
        self._owners: list[list[Node]] = [[]]
        self._held: list[dict[str, Any]] = []
        self.setViewerPreference("DisplayDocTitle", "true")

    def mark(self, node: Node) -> None:
        """Begin the content of ``node``."""
        page = self._owners[-1]
        node.marks.append((len(self._owners) - 1, len(page)))
        self._code.append(f"/{node.role} <</MCID {len(page)}>> BDC")
        page.append(node)

    def decorate(self) -> None:
        """Begin something that is only there for the eye."""
        self._code.append(DECORATION)

    def end(self) -> None:
        self._code.append(END)

    def finish_page(self, number: int, count: int) -> None:
        """Draw what stands under page ``number`` of ``count``."""

    def showPage(self) -> None:
        self._held.append(dict(self.__dict__))
        self._owners.append([])
        self._startPage()

    def save(self) -> None:
        owners, tree = self._owners, self.tree
        for index, held in enumerate(self._held):
            self.__dict__.update(held)
            self.decorate()
            self.finish_page(index + 1, len(self._held))
            self.end()
            super().showPage()
            page = self._doc.Pages.pages[-1]
            page.__NoDefault__ = [*page.__NoDefault__, "StructParents", "Tabs"]
            page.StructParents = index
            page.Tabs = PDFName("S")
        self._write_tree(tree, owners)
        super().save()

    def _write_tree(self, tree: Node, owners: list[list[Node]]) -> None:
        document = self._doc
        pages = [document.Reference(page) for page in document.Pages.pages]
        root = PDFDictionary({"Type": PDFName("StructTreeRoot")})
        written: dict[int, Any] = {}

        def write(node: Node, parent: Any) -> Any:
            entry = PDFDictionary({"Type": PDFName("StructElem"), "S": PDFName(node.role)})
            reference = document.Reference(entry)
            written[id(node)] = reference
            entry["P"] = parent
            kids: list[Any] = [
                PDFDictionary({"Type": PDFName("MCR"), "Pg": pages[page], "MCID": number})
                for page, number in node.marks
            ]
            kids += [write(child, reference) for child in node.nodes]
            entry["K"] = PDFArray(kids)
            if node.alt:
                entry["Alt"] = PDFString(node.alt)
            if node.scope:
                entry["A"] = PDFDictionary({"O": PDFName("Table"), "Scope": PDFName(node.scope)})
            return reference

        top = document.Reference(root)
        root["K"] = write(tree, top)
        numbers: list[Any] = []
        for index, page in enumerate(owners[: len(pages)]):
            numbers += [index, PDFArray([written[id(node)] for node in page])]
        root["ParentTree"] = PDFDictionary({"Nums": PDFArray(numbers)})
        root["ParentTreeNextKey"] = len(pages)
        document.Catalog.StructTreeRoot = root
        document.Catalog.MarkInfo = PDFDictionary({"Marked": "true"})


class _TableTags:
    """Marks the cells of one table (or of one page's part of it) while it is drawn."""

    def __init__(self, canvas: TaggedCanvas) -> None:
        self.canvas = canvas
        self.table = canvas.tree.add("Table")
        self.row = self.table

    def __call__(self, table: Any, event: str, *details: Any) -> None:
        if event == "startTable":
            self.canvas.decorate()
        elif event == "startRow":
            self.row = self.table.add("TR")
        elif event == "startCell":
            row, column, value = details[:3]
            self.canvas.end()
            cell = self._cell(table, row, column)
            alts = [f.alt for f in _flowables(value) if getattr(f, "alt", "")]
            self.canvas.mark(cell.add("Figure", " ".join(alts)) if alts else cell)
        elif event == "endCell":
            self.canvas.end()
            self.canvas.decorate()
        elif event == "endTable":
            self.canvas.end()

    def _cell(self, table: Any, row: int, column: int) -> Node:
        if row < (table.repeatRows or 0):
            return self.row.add("TH", scope="Column")
        if column in getattr(table, "row_heads", ()):
            return self.row.add("TH", scope="Row")
        return self.row.add("TD")


class _LayoutTags:
    """Lets everything in a table that only puts things beside each other be marked by itself."""

    def __init__(self, canvas: TaggedCanvas) -> None:
        self.canvas = canvas

    def __call__(self, table: Any, event: str, *details: Any) -> None:
        if event in ("startTable", "endCell"):
            self.canvas.decorate()
        elif event == "startCell":
            self.canvas.end()
            for flowable in _flowables(details[2]):
                if isinstance(flowable, Flowable):
                    _marked(flowable)
        elif event == "endTable":
            self.canvas.end()


def _flowables(value: Any) -> list[Any]:
    return list(value) if isinstance(value, (list, tuple)) else [value]


def _marked(flowable: Flowable) -> None:
    """Let a flowable begin and end its own mark when it is drawn next."""
    plain = type(flowable).drawOn

    def tagged(canvas: TaggedCanvas, *args: Any, **kwargs: Any) -> None:
        del flowable.drawOn
        _begin(canvas, flowable)
        plain(flowable, canvas, *args, **kwargs)
        if not isinstance(flowable, Table):
            canvas.end()

    flowable.drawOn = tagged


class TaggedFrame(Frame):
    """A frame that marks what it draws."""

    def _add(self, flowable: Flowable, canv: Any, trySplit: int = 0) -> int:
        _marked(flowable)
        try:
            return int(super()._add(flowable, canv, trySplit=trySplit))
        finally:
            flowable.__dict__.pop("drawOn", None)

    add = _add


def _begin(canvas: TaggedCanvas, flowable: Flowable) -> None:
    """Begin the mark that a flowable gets by its kind; a table marks its own cells."""
    if isinstance(flowable, Table):
        layout = getattr(flowable, "is_layout", False)
        flowable._renderCB = _LayoutTags(canvas) if layout else _TableTags(canvas)
    elif isinstance(flowable, Paragraph):
        canvas.mark(canvas.tree.add_text(flowable.style.name))
    elif getattr(flowable, "alt", ""):
        canvas.mark(canvas.tree.add("Figure", flowable.alt))
    else:
        canvas.decorate()
