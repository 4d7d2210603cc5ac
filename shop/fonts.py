"""The typefaces of page and paper, found where their packages put them; none is copied in."""

from importlib.resources import files
from pathlib import Path

FACES: dict[str, tuple[str, ...]] = {
    "fontpkg_barlow": (
        "Barlow-Regular.ttf",
        "Barlow-Italic.ttf",
        "Barlow-Medium.ttf",
        "Barlow-SemiBold.ttf",
        "Barlow-Bold.ttf",
    ),
    "fontpkg_barlow_semi_condensed": (
        "BarlowSemiCondensed-Regular.ttf",
        "BarlowSemiCondensed-Italic.ttf",
        "BarlowSemiCondensed-Medium.ttf",
        "BarlowSemiCondensed-MediumItalic.ttf",
        "BarlowSemiCondensed-SemiBold.ttf",
        "BarlowSemiCondensed-Bold.ttf",
    ),
    "font_source_serif_pro": ("SourceSerifPro-It.ttf",),
}


def font_files() -> dict[str, Path]:
    """File name -> path of every style in use; what isn't installed is left out, for the
    style sheets name faces to fall back on."""
    found: dict[str, Path] = {}
    for package, names in FACES.items():
        try:
            folder = Path(str(files(package))) / "files"
        except ModuleNotFoundError:
            continue
        found.update({name: folder / name for name in names if (folder / name).is_file()})
    return found
