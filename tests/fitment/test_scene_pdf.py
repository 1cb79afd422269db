"""The drawing on paper is the drawing on the screen."""

from __future__ import annotations

import io
import re
from xml.etree import ElementTree

import pytest
from reportlab.pdfbase import pdfmetrics
from reportlab.platypus import SimpleDocTemplate

from fitment.drawings.scene_pdf import COLOURS, SceneFlowable
from fitment.engine.drawing.scene import FILL, PEN, TEXT, Fill, Hatch, Scene, Stroke, Words
from fitment.engine.drawing.scene_svg import scene_svg
from fitment.engine.drawing.section_drawing import room_scene
from fitment.engine.solid.section import section_of
from fitment.text.lettering import letter_for, lettered_for
from shop.paper.fonts import REGULAR, SEMIBOLD, register_fonts
from tests.engine.drawn_rooms import WIDER, WIDER_TYRE, answer_for, make_room, make_section
from tests.pdf import reader_of

#: The size that reportlab sets at the beginning of every page.
PAGE_DEFAULT_PT = 12.0


@pytest.fixture(scope="module")
def scene() -> Scene:
    room, section = make_room(), make_section()
    drawn = room_scene(
        room,
        section,
        answer_for(room, section),
        title="Front left",
        letter=letter_for(),
        other_section=section_of(WIDER, WIDER_TYRE),
    )
    return lettered_for(drawn)


def pdf_of(*flowables):
    out = io.BytesIO()
    SimpleDocTemplate(out, invariant=1, pageCompression=0).build(list(flowables))
    return reader_of(out.getvalue())


def operations(page):
    from pypdf.generic import ContentStream

    return [
        (operator.decode(), operands)
        for operands, operator in ContentStream(page.get_contents(), page.pdf).operations
    ]


def test_paper_and_screen_show_the_same_marks(scene):
    svg = ElementTree.fromstring(scene_svg(scene, id_prefix="lf"))
    shapes = [element for element in svg.iter() if element.tag.endswith("path")]
    marks = list(scene.marks())
    strokes = [mark for mark in marks if isinstance(mark, (Stroke, Hatch))]
    fills = [mark for mark in marks if isinstance(mark, Fill)]
    assert len(shapes) == len(strokes) + len(fills)

    painted = [name for name, _ in operations(pdf_of(SceneFlowable(scene, 430.0)).pages[0])]
    assert painted.count("S") == len(strokes)
    assert painted.count("f*") + painted.count("f") == len(fills)

    moves_svg = sum(len(re.findall("M", path.get("d"))) for path in shapes)
    lines_svg = sum(len(re.findall("L", path.get("d"))) for path in shapes)
    assert painted.count("m") == moves_svg
    assert painted.count("l") == lines_svg


def test_paper_and_screen_show_the_same_words(scene):
    printed = pdf_of(SceneFlowable(scene, 430.0)).pages[0].extract_text()
    for mark in scene.marks():
        if isinstance(mark, Words):
            for text, _ in mark.lines:
                assert text in printed


def test_the_typeface_is_embedded(scene):
    page = pdf_of(SceneFlowable(scene, 430.0)).pages[0]
    fonts = [font.get_object() for font in page["/Resources"]["/Font"].values()]
    used = [font for font in fonts if "SourceSans" in font["/BaseFont"]]
    assert used
    assert all("/FontFile2" in font["/FontDescriptor"].get_object() for font in used)


def test_a_file_is_the_same_when_it_is_made_again(scene):
    one, two = (
        pdf_of(SceneFlowable(scene, 300.0)).pages[0].get_contents().get_data() for _ in range(2)
    )
    assert one == two


def test_every_style_has_a_colour_on_paper():
    names = {pen.colour for pen in PEN.values()} | set(FILL.values())
    names |= {colour for colour, _ in TEXT.values()}
    assert names <= set(COLOURS)


def test_text_grows_with_a_small_drawing_as_far_as_the_layout_has_room(scene):
    sizes = {}
    for width in (150.0, 250.0, 430.0):
        ops = operations(pdf_of(SceneFlowable(scene, width)).pages[0])
        used = {round(float(operands[1]), 3) for name, operands in ops if name == "Tf"}
        (sizes[width],) = used - {PAGE_DEFAULT_PT}
    scale = {width: width / scene.width_mm for width in sizes}
    assert sizes[430.0] == pytest.approx(scene.text_mm * scale[430.0], abs=0.01)
    assert sizes[250.0] == pytest.approx(7.5, abs=0.01)
    assert sizes[150.0] == pytest.approx(scene.narrow_text_mm * scale[150.0], abs=0.01)


def test_a_drawing_gives_way_a_little_to_the_frame_and_keeps_its_shape(scene):
    flowable = SceneFlowable(scene, 430.0)
    width, height = flowable.wrap(400.0, 2000.0)
    assert width == 400.0
    assert height / width == pytest.approx(scene.height_mm / scene.width_mm)
    assert SceneFlowable(scene, 430.0).wrap(430.0, 100.0)[1] > 100.0
    assert flowable.alt == " ".join(map(str, scene.description))


def test_drawing_leaves_the_typeface_that_the_sheet_registered(scene):
    register_fonts()
    before = [pdfmetrics.getFont(name) for name in (REGULAR, SEMIBOLD)]
    pdf_of(SceneFlowable(scene, 300.0))
    assert [pdfmetrics.getFont(name) for name in (REGULAR, SEMIBOLD)] == before
