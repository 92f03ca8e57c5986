"""Draws the application icon: a hand quern, two round stones with a peg, seen at an angle.

The drawing is the list SHAPES below. It is written as assets/icons/quern.svg and, by its own small painter, as PNG
files of the sizes that desktops ask for. The smallest ones leave out what would blur.

Needs Python 3.10 or newer and nothing else; a second run writes the same bytes:

    python3 scripts/icon.py
"""

import struct
import zlib
from pathlib import Path

OUT = Path(__file__).resolve().parent.parent / "assets" / "icons"

# Sizes in pixels, and samples across a pixel.
SIZES = [16, 32, 64, 128, 256]
SAMPLES = 4

# Colours of the token file.
TEAL, DEEP = "1C6B66", "124B47"
BONE, PAPER, STONE, SHADE = "E0D9CC", "F6F3EC", "B3AA97", "8C8471"
OCHRE, WOOD = "DDA24B", "B9791C"


def ellipse(fill, x, y, rx, ry):
    return ("ellipse", fill, (x, y, rx, ry))


def drum(fill, x, top, bottom, rx, ry):
    """The side of a stone: a band between two ellipses, with the lower one."""
    return ("drum", fill, (x, top, bottom, rx, ry))


def bar(fill, x1, y1, x2, y2, width):
    """A thick line with round ends."""
    return ("bar", fill, (x1, y1, x2, y2, width))


def shapes(size):
    """What is drawn on a square of 256, from back to front."""
    small = size <= 32
    peg = 22 if small else 16
    out = [
        ("tile", TEAL, (0, 0, 256, 60) if small else (8, 8, 240, 56)),
        # Lower stone.
        drum(SHADE if small else STONE, 128, 168, 194, 98, 36),
        ellipse(BONE, 128, 168, 98, 36),
    ]
    if not small:
        # Meal on its rim.
        out += [ellipse(OCHRE, x, y, 5, 3.6) for x, y in [(60, 182), (84, 192), (108, 197), (150, 197), (174, 191), (198, 180)]]
    out += [
        # The gap, and the upper stone.
        ellipse(DEEP, 128, 158, 80, 30),
        drum(STONE, 128, 106, 146, 76, 28),
        ellipse(PAPER, 128, 106, 76, 28),
        ellipse(DEEP, 118, 108, 24 if small else 19, 11 if small else 9),
        # The peg stands near the edge.
        bar(WOOD, 178, 98, 182, 44, peg),
    ]
    if not small:
        out += [bar(OCHRE, 175.5, 94, 179, 46, 5), ellipse(OCHRE, 114, 107, 5, 3.2), ellipse(OCHRE, 123, 109, 5, 3.2)]
    return out


def inside(shape, x, y):
    kind, _, at = shape
    if kind == "ellipse":
        cx, cy, rx, ry = at
        return ((x - cx) / rx) ** 2 + ((y - cy) / ry) ** 2 <= 1.0
    if kind == "drum":
        cx, top, bottom, rx, ry = at
        if abs(x - cx) > rx:
            return False
        reach = ry * (1.0 - ((x - cx) / rx) ** 2) ** 0.5
        return top <= y <= bottom + reach
    if kind == "bar":
        x1, y1, x2, y2, width = at
        dx, dy = x2 - x1, y2 - y1
        t = max(0.0, min(1.0, ((x - x1) * dx + (y - y1) * dy) / (dx * dx + dy * dy)))
        return (x - x1 - t * dx) ** 2 + (y - y1 - t * dy) ** 2 <= (width / 2) ** 2
    left, top, side, radius = at
    px = max(left + radius - x, 0.0, x - (left + side - radius))
    py = max(top + radius - y, 0.0, y - (top + side - radius))
    return px * px + py * py <= radius * radius


def svg(shape):
    kind, fill, at = shape
    if kind == "ellipse":
        cx, cy, rx, ry = at
        return f'<ellipse cx="{cx}" cy="{cy}" rx="{rx}" ry="{ry}" fill="#{fill}"/>'
    if kind == "drum":
        cx, top, bottom, rx, ry = at
        path = f"M{cx - rx} {top}V{bottom}A{rx} {ry} 0 0 0 {cx + rx} {bottom}V{top}Z"
        return f'<path d="{path}" fill="#{fill}"/>'
    if kind == "bar":
        x1, y1, x2, y2, width = at
        line = f'x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}"'
        return f'<line {line} stroke="#{fill}" stroke-width="{width}" stroke-linecap="round"/>'
    left, top, side, radius = at
    return f'<rect x="{left}" y="{top}" width="{side}" height="{side}" rx="{radius}" fill="#{fill}"/>'


def png(size):
    drawn = shapes(size)
    colours = [tuple(bytes.fromhex(s[1])) for s in drawn]
    scale, step = 256.0 / size, 1.0 / SAMPLES
    rows = bytearray()
    for j in range(size):
        rows.append(0)
        for i in range(size):
            red = green = blue = hits = 0
            for b in range(SAMPLES):
                y = (j + (b + 0.5) * step) * scale
                for a in range(SAMPLES):
                    x = (i + (a + 0.5) * step) * scale
                    for k in range(len(drawn) - 1, -1, -1):
                        if inside(drawn[k], x, y):
                            r, g, bl = colours[k]
                            red, green, blue, hits = red + r, green + g, blue + bl, hits + 1
                            break
            if hits:
                alpha = round(255 * hits / SAMPLES**2)
                rows += bytes((round(red / hits), round(green / hits), round(blue / hits), alpha))
            else:
                rows += bytes(4)

    def chunk(name, data):
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = struct.pack(">IIBBBBB", size, size, 8, 6, 0, 0, 0)
    body = chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(bytes(rows), 9)) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + body


def main():
    OUT.mkdir(parents=True, exist_ok=True)
    inner = "\n  ".join(svg(s) for s in shapes(256))
    title = "<title>Quern: two round stones with a peg</title>"
    text = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 256 256">\n  {title}\n  {inner}\n</svg>\n'
    (OUT / "quern.svg").write_text(text, encoding="utf-8")
    for size in SIZES:
        (OUT / f"quern-{size}.png").write_bytes(png(size))


if __name__ == "__main__":
    main()
