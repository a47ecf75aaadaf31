"""Looks at pictures as a viewer does: svg_check.py FILE... prints a line "well FILE" for each, or what is wrong
with it and exits with 1. Well: XML, a background of its own below everything, generic fonts, every text inside
the picture, no two texts that touch, and no line or area that leaves the picture. Texts are measured with the
advances of DejaVu Sans 2.37 (table hmtx, thousandths of the font size, U+0020 to U+007E), one of the widest faces
that sans-serif can become."""
import sys
import xml.etree.ElementTree as tree

SVG = "{http://www.w3.org/2000/svg}"
ADVANCES = {
    "normal": [
        318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337, 636, 636, 636, 636,
        636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632, 575, 775,
        752, 295, 295, 656, 557, 863, 748, 787, 603, 787, 695, 635, 611, 732, 684, 989, 685, 611, 685, 390,
        337, 390, 838, 500, 500, 613, 635, 550, 635, 615, 352, 635, 634, 278, 278, 579, 278, 974, 634, 612,
        635, 635, 411, 521, 392, 634, 592, 818, 592, 592, 525, 636, 337, 636, 838,
    ],
    "bold": [
        348, 456, 521, 838, 696, 1002, 872, 306, 457, 457, 523, 838, 380, 415, 380, 365, 696, 696, 696, 696,
        696, 696, 696, 696, 696, 696, 400, 400, 838, 838, 838, 580, 1000, 774, 762, 734, 830, 683, 683, 821,
        837, 372, 372, 775, 637, 995, 837, 850, 733, 850, 770, 720, 682, 812, 774, 1103, 771, 724, 725, 457,
        365, 457, 838, 500, 500, 675, 716, 593, 716, 678, 435, 716, 712, 343, 343, 665, 343, 1042, 712, 687,
        716, 716, 493, 595, 478, 712, 652, 924, 645, 652, 582, 712, 365, 712, 838,
    ],
}
ASCENT, DESCENT = 0.76, 0.24  # of DejaVu Sans, as far as letters of a line without accents reach


def width_of(text, size, weight):
    advances = ADVANCES[weight]
    return size * sum(advances[ord(c) - 32] if 32 <= ord(c) < 127 else 850 for c in text) / 1000


def boxes_of(root):
    for element in root.iter(SVG + "text"):
        x, y, size = (float(element.get(name)) for name in ("x", "y", "font-size"))
        width = width_of(element.text, size, element.get("font-weight"))
        x -= width * {"start": 0, "middle": 0.5, "end": 1}[element.get("text-anchor", "start")]
        yield element.text, x, y - ASCENT * size, x + width, y + DESCENT * size


def corners_of(root):
    for element in root.iter():
        name = element.tag.removeprefix(SVG)
        if name in ("polyline", "polygon"):
            for pair in element.get("points").split():
                yield name, *(float(number) for number in pair.split(","))
        elif name == "rect":
            x, y, width, height = (float(element.get(key, "0")) for key in ("x", "y", "width", "height"))
            yield from ((name, x, y), (name, x + width, y + height))
        elif name == "circle":
            x, y, radius = (float(element.get(key)) for key in ("cx", "cy", "r"))
            yield from ((name, x - radius, y - radius), (name, x + radius, y + radius))


def faults_of(root):
    width, height = float(root.get("width")), float(root.get("height"))
    ground = root.find(SVG + "rect")
    if (float(ground.get("width")), float(ground.get("height"))) != (width, height) or not ground.get("fill"):
        yield "no background"
    if root.get("font-family") not in ("sans-serif", "serif", "monospace"):
        yield "a font that not everybody has"
    for name, x, y in corners_of(root):
        if not (0 <= x <= width and 0 <= y <= height):
            yield f"outside: a {name} at {x}, {y}"
    boxes = list(boxes_of(root))
    if not boxes:
        yield "no text"
    for at, (text, left, top, right, bottom) in enumerate(boxes):
        if left < 0 or top < 0 or right > width or bottom > height:
            yield f"outside: {text}"
        for other, left2, top2, right2, bottom2 in boxes[at + 1:]:
            if left < right2 and left2 < right and top < bottom2 and top2 < bottom:
                yield f"overlap: {text} | {other}"


well = True
for name in sys.argv[1:]:
    faults = list(faults_of(tree.parse(name).getroot()))
    well = well and not faults
    print("\n".join(f"{name}: {fault}" for fault in faults) if faults else f"well {name}")
sys.exit(0 if well else 1)
