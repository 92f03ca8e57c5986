"""Rebuilds assets/fonts: Inter and Atkinson Hyperlegible Next with tabular digits as the default.

A window toolkit that cannot switch OpenType features draws whatever digits the character map names.
This script points the character map at the tabular digits (the `tnum` substitution of the face itself)
and keeps everything else: outlines, kerning, marks and the other features. Then it leaves out the scripts
that Quern does not print, and writes the licence texts beside the fonts.

Needs Python 3.10 or newer with fonttools 4.x, and npm for fetching the two packages:

    pip install fonttools==4.68.0 && python3 scripts/fonts.py

The result depends on the package versions below and on fonttools only, so a second run writes the same bytes.
"""

import shutil
import subprocess
import sys
import tarfile
import tempfile
from pathlib import Path

from fontTools import subset
from fontTools.ttLib import TTFont

OUT = Path(__file__).resolve().parent.parent / "assets" / "fonts"

# Package, version, licence text to write, and per output file the weight folder in the package.
FAMILIES = [
    (
        "@expo-google-fonts/inter",
        "0.4.2",
        "OFL-Inter.txt",
        {
            "Inter-Regular.ttf": "400Regular/Inter_400Regular.ttf",
            "Inter-SemiBold.ttf": "600SemiBold/Inter_600SemiBold.ttf",
            "Inter-Bold.ttf": "700Bold/Inter_700Bold.ttf",
        },
    ),
    (
        "@expo-google-fonts/atkinson-hyperlegible-next",
        "0.4.1",
        "OFL-Atkinson.txt",
        {
            "AtkinsonNext-Regular.ttf": "400Regular/AtkinsonHyperlegibleNext_400Regular.ttf",
            "AtkinsonNext-Bold.ttf": "700Bold/AtkinsonHyperlegibleNext_700Bold.ttf",
        },
    ),
]

# What stands in columns of numbers. Hyphen, brackets, space and asterisk have tabular forms in Inter too, but
# they belong to running text ("rinse-off", "(and)"), where a hyphen as wide as a digit would tear words apart.
TABULAR = "0123456789" + ".,:;" + "+\u2212\u00b1\u00d7\u00f7=<>\u2264\u2265\u2260\u2248"

# Spaces of digit and point width, so that padding with them lines columns up.
FIGURE_SPACE, PUNCTUATION_SPACE = 0x2007, 0x2008

RANGES = [
    (0x0020, 0x007E),  # Latin
    (0x00A0, 0x024F),  # Latin-1, Extended-A and -B
    (0x0259, 0x0259),
    (0x02B0, 0x02FF),  # modifier letters
    (0x0300, 0x036F),  # combining marks
    (0x0370, 0x03FF),  # Greek
    (0x0400, 0x052F),  # Cyrillic
    (0x1E00, 0x1EFF),  # Latin additional
    (0x2000, 0x206F),  # general punctuation
    (0x2070, 0x209F),  # superscripts and subscripts
    (0x20A0, 0x20CF),  # currency
    (0x2100, 0x214F),  # letterlike: numero, trade mark, micro's kin
    (0x2150, 0x218F),  # fractions
    (0x2190, 0x21FF),  # arrows
    (0x2200, 0x22FF),  # mathematics
    (0x2300, 0x23FF),  # technical: keyboard signs
    (0x25A0, 0x25FF),  # geometric: box, triangle, dot
    (0x2713, 0x2717),  # ticks
    (0xFB00, 0xFB06),  # ligatures
]

FEATURES = [
    "kern", "mark", "mkmk", "ccmp", "locl", "calt", "liga", "case",
    "tnum", "pnum", "zero", "sups", "subs", "sinf", "ordn", "frac", "numr", "dnom",
]


def fetch(package: str, version: str, into: Path) -> Path:
    """Downloads one npm package and returns its unpacked folder."""
    into.mkdir(parents=True)
    subprocess.run(
        ["npm", "pack", "--silent", f"{package}@{version}"],
        cwd=into, check=True, stdout=subprocess.DEVNULL,
    )
    (archive,) = into.glob("*.tgz")
    with tarfile.open(archive) as tar:
        tar.extractall(into, filter="data")
    return into / "package"


def single_substitutions(font: TTFont, feature: str) -> dict[str, str]:
    """What a feature replaces one glyph by."""
    table = font["GSUB"].table
    out: dict[str, str] = {}
    for record in table.FeatureList.FeatureRecord:
        if record.FeatureTag != feature:
            continue
        for index in record.Feature.LookupListIndex:
            for sub in table.LookupList.Lookup[index].SubTable:
                sub = getattr(sub, "ExtSubTable", sub)
                out.update(getattr(sub, "mapping", {}))
    return out


def carry_features(font: TTFont, tabular: dict[str, str]) -> None:
    """Lets superscripts, fractions and the like take a tabular glyph where they took the plain one."""
    lists = font["GSUB"].table
    spared = {"tnum", "pnum"}
    skip = {
        index
        for record in lists.FeatureList.FeatureRecord
        if record.FeatureTag in spared
        for index in record.Feature.LookupListIndex
    }
    for index, lookup in enumerate(lists.LookupList.Lookup):
        if index in skip:
            continue
        for sub in lookup.SubTable:
            mapping = getattr(getattr(sub, "ExtSubTable", sub), "mapping", None)
            if mapping is None:
                continue
            for plain, wide in tabular.items():
                if plain in mapping and wide not in mapping:
                    mapping[wide] = mapping[plain]


def make_tabular(font: TTFont) -> None:
    """Points the character map at the tabular glyphs."""
    best = font.getBestCmap()
    replaced = single_substitutions(font, "tnum")
    chosen = {best[ord(c)]: replaced[best[ord(c)]] for c in TABULAR if best.get(ord(c)) in replaced}
    carry_features(font, chosen)
    for table in font["cmap"].tables:
        if not table.isUnicode():
            continue
        for code in map(ord, TABULAR):
            glyph = table.cmap.get(code)
            if glyph in chosen:
                table.cmap[code] = chosen[glyph]
    best = font.getBestCmap()
    metrics = font["hmtx"].metrics
    for space, like in ((FIGURE_SPACE, "0"), (PUNCTUATION_SPACE, ".")):
        if space in best:
            metrics[best[space]] = (metrics[best[ord(like)]][0], 0)
    widths = {metrics[best[ord(c)]][0] for c in "0123456789"}
    if len(widths) != 1:
        sys.exit(f"digits are not of one width: {sorted(widths)}")


def keep_wanted(font: TTFont) -> None:
    """Leaves out what is never printed."""
    options = subset.Options()
    options.layout_features = FEATURES
    options.name_IDs = ["*"]
    options.notdef_outline = True
    options.glyph_names = False
    options.hinting = True
    # The time stamp of the source stays, so that a rebuild gives the same bytes.
    options.recalc_timestamp = False
    worker = subset.Subsetter(options)
    worker.populate(unicodes=[c for low, high in RANGES for c in range(low, high + 1)])
    worker.subset(font)


def main() -> None:
    OUT.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as scratch:
        for number, (package, version, licence, files) in enumerate(FAMILIES):
            folder = fetch(package, version, Path(scratch) / str(number))
            header = (folder / "LICENSE_FONT").read_text(encoding="utf-8").split("-----")[0]
            if "Reserved Font Name" in header:
                sys.exit(f"{package} reserves its name: rename the family before shipping a changed build")
            shutil.copyfile(folder / "LICENSE_FONT", OUT / licence)
            for name, source in files.items():
                font = TTFont(folder / source, recalcTimestamp=False)
                make_tabular(font)
                keep_wanted(font)
                font.save(OUT / name)
                print(f"{name}: {(OUT / name).stat().st_size // 1000} kB, {len(font.getGlyphOrder())} glyphs")


if __name__ == "__main__":
    main()
