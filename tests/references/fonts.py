"""The window's text faces, made from Inter with figures of one width.

Source: the npm package inter-ui 4.1.1 (Inter 4.1, SIL Open Font License 1.1, no
reserved font name), unpacked with `npm pack inter-ui@4.1.1` and `tar xzf`.
Needs Python 3.11, fonttools 4.68.0, brotli 1.2.1 and uharfbuzz 0.57.0.

    python fonts.py PACKAGE              make, check, then write to assets/fonts
    python fonts.py PACKAGE --check      make and check, and compare with the files kept

PACKAGE is the unpacked folder. The same versions give the same bytes.

The window shapes text with a font's default features and can't ask for `tnum`, so
that feature is frozen in: the figures, and the signs that stand among them, are
mapped to their tabular glyphs. Full stop, comma, colon, hyphen, brackets and
spaces keep their text glyphs. The tabular ones aren't kerned ("V.", "y,") and a
hyphen as wide as a figure spoils words; next to tabular figures the text glyphs
aren't kerned either, so columns line up all the same, and this script checks that.
`calt` is left out: it would show "->" as an arrow and "3x4" as a multiplication.
"""

import io
import sys
from pathlib import Path

import uharfbuzz as hb
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

OUT = Path(__file__).resolve().parents[2] / "assets" / "fonts"
FACES = {
    "text-regular.ttf": ("Inter-Regular.woff2", 400),
    "text-medium.ttf": ("Inter-Medium.woff2", 500),
    "text-semibold.ttf": ("Inter-SemiBold.woff2", 600),
}
MADE = "tabular figures frozen in, subset for Rigwright"

FIGURES = "0123456789"
TABULAR = FIGURES + "+−±×÷=≠≈<>≤≥"
AMONG_FIGURES = ".,:;()/°% \u00a0\u2007\u2009\u202f"

RANGES = [
    (0x0020, 0x007E),  # Latin
    (0x00A0, 0x024F),  # Latin-1, Latin Extended-A and -B
    (0x02B0, 0x02FF),  # modifier letters
    (0x0300, 0x036F),  # combining marks
    (0x0370, 0x03FF),  # Greek
    (0x0400, 0x052F),  # Cyrillic and its supplement
    (0x1E00, 0x1EFF),  # Latin Extended Additional
    (0x2000, 0x206F),  # punctuation and spaces
    (0x2070, 0x209F),  # superscripts and subscripts
    (0x20A0, 0x20CF),  # currency
    (0x2100, 0x214F),  # letterlike, the ohm sign among them
    (0x2150, 0x218F),  # fractions
    (0x2190, 0x21FF),  # arrows
    (0x2200, 0x22FF),  # mathematical signs
    (0x2300, 0x23FF),  # technical signs, keys
    (0x25A0, 0x25FF),  # geometric shapes
    (0x2600, 0x27BF),  # signs and dingbats
    (0xFFFD, 0xFFFD),  # replacement character
]
FEATURES = ["ccmp", "locl", "mark", "mkmk", "kern"]
NAMES = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 11, 12, 13, 14, 16, 17]

NEEDED = "ΩµμΔπ−²³±°×≤≥≈√∞½¼¾·…–—'\"‘’“”€£¥→←↑↓\u2126"
WANTED = "♯♭∥∠✓"
MOST_BYTES = 300_000


def tabular_glyphs(font):
    """The `tnum` feature as a map from glyph to tabular glyph."""
    table = font["GSUB"].table
    indices = {
        index
        for record in table.FeatureList.FeatureRecord
        if record.FeatureTag == "tnum"
        for index in record.Feature.LookupListIndex
    }
    glyphs = {}
    for index in sorted(indices):
        for subtable in table.LookupList.Lookup[index].SubTable:
            glyphs.update(getattr(subtable, "ExtSubTable", subtable).mapping)
    return glyphs


def freeze_figures(font):
    """Maps the characters of TABULAR to their tabular glyphs, for good."""
    glyphs = tabular_glyphs(font)
    best = font.getBestCmap()
    target = {ord(sign): glyphs[best[ord(sign)]] for sign in TABULAR}
    for table in font["cmap"].tables:
        for code, glyph in target.items():
            if code in table.cmap:
                table.cmap[code] = glyph


def mark_as_changed(font):
    """Says in the font's own names that this isn't the original."""
    for record in font["name"].names:
        if record.nameID in (3, 5):
            record.string = f"{record.toUnicode()}; {MADE}"


def reduce(font):
    """Leaves out the characters, features and tables that nothing here uses."""
    options = Options()
    options.layout_features = FEATURES
    options.name_IDs = NAMES
    options.glyph_names = False
    options.hinting = False
    options.notdef_outline = True
    options.recalc_timestamp = False
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=[code for first, last in RANGES for code in range(first, last + 1)])
    subsetter.subset(font)


def make(source):
    font = TTFont(source, recalcTimestamp=False)
    font.flavor = None
    freeze_figures(font)
    mark_as_changed(font)
    reduce(font)
    buffer = io.BytesIO()
    font.save(buffer)
    return buffer.getvalue()


def width(shaper, text):
    """The advance of a text, shaped as the window shapes it."""
    buffer = hb.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    hb.shape(shaper, buffer)
    return sum(position.x_advance for position in buffer.glyph_positions)


def check(name, data, weight):
    font = TTFont(io.BytesIO(data))
    best = font.getBestCmap()
    require(len(data) < MOST_BYTES, f"{name}: {len(data)} bytes")
    require(font.sfntVersion == "\x00\x01\x00\x00" and "glyf" in font, f"{name}: not TrueType")
    require("fvar" not in font and "fpgm" not in font, f"{name}: variable or hinted")
    require(font["OS/2"].usWeightClass == weight, f"{name}: weight")
    lacking = [sign for sign in NEEDED if ord(sign) not in best]
    require(not lacking, f"{name}: lacks {lacking}")

    shaper = hb.Font(hb.Face(data))
    widths = {width(shaper, sign) for sign in TABULAR + "\u2007"}
    require(len(widths) == 1, f"{name}: figures and signs are {widths} wide")
    one = widths.pop()
    signs = TABULAR + AMONG_FIGURES
    alone = {sign: width(shaper, sign) for sign in signs}
    for left in signs:
        for right in signs:
            if left in FIGURES or right in FIGURES:
                same = width(shaper, left + right) == alone[left] + alone[right]
                require(same, f"{name}: {left!r} and {right!r} are kerned")
    for pair in ("AV", "To", "V.", "y,"):
        closer = width(shaper, pair) < width(shaper, pair[0]) + width(shaper, pair[1])
        require(closer, f"{name}: {pair} isn't kerned")
    require(width(shaper, "->") == width(shaper, "-") + width(shaper, ">"), f"{name}: -> is joined")

    absent = " ".join(sign for sign in WANTED if ord(sign) not in best) or "none"
    em = font["head"].unitsPerEm
    print(f"{name}: {len(data)} bytes, {len(best)} characters, figures {one}/{em} em; lacks {absent}")


def require(holds, message):
    if not holds:
        sys.exit(f"fonts: {message}")


def main():
    package = [word for word in sys.argv[1:] if not word.startswith("--")]
    require(len(package) == 1, "say where the unpacked package is")
    package = Path(package[0])

    licence = (package / "LICENSE.txt").read_text(encoding="utf-8")
    require("SIL Open Font License, Version 1.1" in licence, "another licence")
    require("Reserved Font Name" not in licence.split("-----", 1)[0], "the name is reserved: rename the family")

    made = {"OFL.txt": licence.encode("utf-8")}
    for name, (source, weight) in FACES.items():
        made[name] = make(package / "web" / source)
        check(name, made[name], weight)

    if "--check" in sys.argv:
        for name, data in made.items():
            require((OUT / name).read_bytes() == data, f"{name} differs from the file kept")
        print("the files kept are these, byte for byte")
    else:
        for name, data in made.items():
            (OUT / name).write_bytes(data)


main()
