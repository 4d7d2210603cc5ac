"""The system libraries that PDF making loads: which are missing, and the one command for them.

Standard library only, so that it can always be asked.
"""

from __future__ import annotations

import sys

from shop import bootstrap

_ELSEWHERE: dict[str, tuple[dict[str, tuple[str, ...]], str]] = {
    "darwin": (
        {
            "GObject": ("libgobject-2.0.0.dylib",),
            "Pango": ("libpango-1.0.dylib", "libpango-1.0.0.dylib"),
            "HarfBuzz": ("libharfbuzz.0.dylib",),
            "fontconfig": ("libfontconfig.1.dylib",),
            "PangoFT2": ("libpangoft2-1.0.dylib", "libpangoft2-1.0.0.dylib"),
        },
        "brew install pango",
    ),
    "win32": (
        {
            "GObject": ("libgobject-2.0-0.dll",),
            "Pango": ("libpango-1.0-0.dll",),
            "HarfBuzz": ("libharfbuzz-0.dll",),
            "fontconfig": ("libfontconfig-1.dll",),
            "PangoFT2": ("libpangoft2-1.0-0.dll",),
        },
        "pacman -S mingw-w64-ucrt-x86_64-pango",
    ),
}
"""Library -> names to try, and the command, for systems that aren't Linux. Not tried by us: from
the PDF library's own installation page."""


def missing_libraries() -> list[str]:
    """Every library that can't be loaded, not only the first."""
    if sys.platform in _ELSEWHERE:
        wanted, _ = _ELSEWHERE[sys.platform]
        return [name for name, files in wanted.items() if not any(map(bootstrap.loads, files))]
    return [name for name in bootstrap.PANGO_LIBRARIES if not bootstrap.loads(name)]


def install_command() -> str:
    """What a person types on this system to get them."""
    if sys.platform in _ELSEWHERE:
        return _ELSEWHERE[sys.platform][1]
    return bootstrap.remedy(bootstrap.PANGO)
